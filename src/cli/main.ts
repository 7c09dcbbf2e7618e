// The command `raythread` in Node: gives the run its streams, its signals and its exit code.
import { runCommand } from './run-command.ts';

const abort = new AbortController();
for (const name of ['SIGINT', 'SIGTERM'] as const) process.once(name, () => abort.abort());

process.exitCode = await runCommand(process.argv.slice(2), {
  out: (text) => process.stdout.write(text),
  err: (text) => process.stderr.write(text),
  isTerminal: process.stderr.isTTY === true,
  signal: abort.signal,
});
