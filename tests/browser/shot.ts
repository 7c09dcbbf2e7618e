// Takes a picture of the built page, for a person to look at:
// node --import tsx tests/browser/shot.ts OUT.png [--dark] [--size 1440x900] [--wait SELECTOR] [--eval JS] [--after MS] [--page FOLDER]
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { servePage } from '../../src/cli/page-server.ts';
import { launchBrowser } from './browser.ts';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    dark: { type: 'boolean', default: false },
    size: { type: 'string', default: '1440x900' },
    wait: { type: 'string', default: '#root > *' },
    eval: { type: 'string', default: '' },
    after: { type: 'string', default: '500' },
    page: { type: 'string', default: fileURLToPath(new URL('../../dist', import.meta.url)) },
    query: { type: 'string', default: '' },
  },
});
const [width, height] = values.size.split('x').map(Number);
const server = await servePage(values.page, 0, null);
const browser = await launchBrowser();
try {
  const page = await browser.newPage({
    viewport: { width, height },
    colorScheme: values.dark ? 'dark' : 'light',
    reducedMotion: 'reduce',
  });
  page.on('console', (message) => console.log(`[${message.type()}] ${message.text()}`));
  page.on('pageerror', (error) => console.log(`[page error] ${error.stack ?? error.message}`));
  page.on('requestfailed', (request) => console.log(`[failed] ${request.url()}`));
  await page.goto(server.address + values.query);
  await page.waitForSelector(values.wait, { timeout: 120_000 });
  if (values.eval !== '') console.log(JSON.stringify(await page.evaluate(values.eval)));
  await page.waitForTimeout(Number(values.after));
  await page.screenshot({ path: positionals[0] });
} finally {
  await browser.close();
  await server.close();
}
