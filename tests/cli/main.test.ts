// The command as a process of its own: what its streams do to it.
import { spawn } from 'node:child_process';
import { existsSync, openSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, it } from 'vitest';

const main = fileURLToPath(new URL('../../src/cli/main.ts', import.meta.url));
const NODE = ['--import', 'tsx', main, '--help'];

function finish(child: ReturnType<typeof spawn>): Promise<[number | null, string]> {
  let said = '';
  child.stderr?.on('data', (chunk) => {
    said += chunk;
  });
  return new Promise((resolve) => child.on('close', (code) => resolve([code, said])));
}

it('a reader that closes the pipe is no failure', async () => {
  const child = spawn(process.execPath, NODE, { stdio: ['ignore', 'pipe', 'pipe'] });
  child.stdout?.destroy();
  expect(await finish(child)).toEqual([0, '']);
}, 30_000);

// A device that is always full: there is one on Linux.
it.skipIf(!existsSync('/dev/full'))(
  'output that is lost is one line and exit code 3',
  async () => {
    const child = spawn(process.execPath, NODE, { stdio: ['ignore', openSync('/dev/full', 'w'), 'pipe'] });
    const [code, said] = await finish(child);
    expect([code, said]).toEqual([3, 'out-unwritable: standard output cannot be written: ENOSPC\n']);
  },
  30_000,
);
