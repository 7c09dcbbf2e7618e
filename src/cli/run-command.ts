// One run of the command: words in, text out, an exit code at the end. Errors become one line, never a stack trace.
import { Cancelled, InputError } from '../model/input-error.ts';
import { VERSION } from '../model/version.ts';
import { type Command, HELP, readArguments, UsageError } from './arguments.ts';
import { calibrateTrial } from './calibrate-trial.ts';
import { inspectFile } from './inspect-file.ts';
import { openPage } from './open-page.ts';
import { placeJob } from './place-job.ts';
import { planJob } from './plan-job.ts';
import { printable } from './printable.ts';
import { EXIT, type Terminal } from './terminal.ts';

/** Runs the command and returns its exit code; a bug (anything but bad usage, bad input and cancelling) throws. */
export async function runCommand(words: readonly string[], terminal: Terminal): Promise<number> {
  try {
    return await dispatch(readArguments(words), terminal);
  } catch (error) {
    const json = words.includes('--json');
    if (error instanceof UsageError) {
      const usage = { code: 'usage', sentence: error.message, place: '', hint: 'raythread --help' };
      terminal.err(
        `${json ? JSON.stringify(usage) : printable(`usage: ${error.message} (raythread --help)`, false)}\n`,
      );
      return EXIT.usage;
    }
    if (error instanceof InputError) {
      terminal.err(`${json ? errorJson(error) : printable(error.message, false)}\n`);
      return EXIT.input;
    }
    if (error instanceof Cancelled) {
      terminal.err(json ? '{"code":"cancelled"}\n' : 'cancelled: nothing was written\n');
      return EXIT.cancelled;
    }
    throw error;
  }
}

function dispatch(command: Command, terminal: Terminal): Promise<number> | number {
  switch (command.name) {
    case 'help':
      terminal.out(HELP);
      return EXIT.done;
    case 'version':
      terminal.out(`raythread ${VERSION}\n`);
      return EXIT.done;
    case 'inspect':
      return inspectFile(command, terminal);
    case 'calibrate':
      return calibrateTrial(command, terminal);
    case 'plan':
      return planJob(command, command.out, terminal);
    case 'place':
      return placeJob(command, terminal);
    case 'open':
      return openPage(command, terminal);
    case 'check':
      return planJob(command, null, terminal);
  }
}

function errorJson({ code, sentence, place, hint }: InputError): string {
  return JSON.stringify({ code, sentence, place, hint });
}
