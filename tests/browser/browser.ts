// A real browser for the tests: Chromium from the npm registry on 64-bit Linux, a browser of the machine elsewhere, or the one that
// CHROME_PATH names.
import { existsSync } from 'node:fs';
import { type Browser, chromium } from 'playwright-core';

/** Where browsers of the Chromium family commonly lie. */
const COMMON = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/Applications/Chromium.app/Contents/MacOS/Chromium',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:/Program Files/Google/Chrome/Application/chrome.exe',
];

/** WebGL 2 without a graphics card. */
const SOFTWARE_GL = [
  '--use-gl=angle',
  '--use-angle=swiftshader',
  '--enable-unsafe-swiftshader',
  '--ignore-gpu-blocklist',
];

/** A fresh headless browser; the caller closes it. */
export async function launchBrowser(): Promise<Browser> {
  const executablePath = await browserPath();
  return chromium.launch({ executablePath, args: ['--no-sandbox', '--disable-dev-shm-usage', ...SOFTWARE_GL] });
}

/** The program of the browser; unpacks the packaged one where it is not unpacked yet. */
export async function browserPath(): Promise<string> {
  const named = process.env.CHROME_PATH;
  if (named !== undefined && named !== '') return named;
  if (process.platform === 'linux' && process.arch === 'x64') {
    // The package brings the libraries along that a bare machine lacks, when it believes to be on such a machine.
    process.env.AWS_EXECUTION_ENV ??= 'AWS_Lambda_nodejs20.x';
    const { default: packaged } = await import('@sparticuz/chromium');
    return packaged.executablePath();
  }
  const found = COMMON.find((path) => existsSync(path));
  if (found === undefined) throw new Error('no browser found: install Chromium or set CHROME_PATH to one');
  return found;
}
