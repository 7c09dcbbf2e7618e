// The command `raythread` in Node: gives the run its streams, its signals and its exit code.
import { runCommand } from './run-command.ts';
import { EXIT } from './terminal.ts';

const abort = new AbortController();
for (const name of ['SIGINT', 'SIGTERM'] as const) process.once(name, () => abort.abort());

// A reader that has seen enough (`| head`) closes the pipe: no reason to fail. Anything else means that output is lost.
for (const [name, stream] of [
  ['standard output', process.stdout],
  ['standard error', process.stderr],
] as const) {
  stream.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EPIPE') return;
    if (stream !== process.stderr) process.stderr.write(`out-unwritable: ${name} cannot be written: ${error.code}\n`);
    process.exit(EXIT.input);
  });
}

try {
  process.exitCode = await runCommand(process.argv.slice(2), {
    out: (text) => process.stdout.write(text),
    err: (text) => process.stderr.write(text),
    isTerminal: process.stderr.isTTY === true,
    signal: abort.signal,
  });
} catch (error) {
  // Not the exit code of a plan that blocks.
  process.exitCode = EXIT.fault;
  process.stderr.write(`fault: ${error instanceof Error ? error.stack : String(error)}\n`);
}
