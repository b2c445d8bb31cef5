#!/usr/bin/env node
/** The command line: arguments, and the only place that sets the exit code. */
import { readFileSync } from 'node:fs';
import { Command, CommanderError, InvalidArgumentError, Option } from 'commander';
import { parseDate } from '../../grammar/dates.ts';
import { check } from './check.ts';
import { packagePath } from './package-path.ts';

const DATE = (text: string): number => {
  const day = parseDate(text);
  if (Number.isNaN(day)) throw new InvalidArgumentError('A day is written as 2026-09-14.');
  return day;
};

const WELCOME = `Ullage keeps the cellar book of a winery in plain text.

  ullage check FOLDER               reads the journal in FOLDER and says what does not add up
  ullage build FOLDER --out SITE    renders lot histories and charts; open SITE/index.html
  ullage export FOLDER              prints everything the journal comes to, as JSON
  ullage reckon                     works out doses, alcohol, sulfur dioxide, blends and more
  ullage explain CODE               says what a finding means and how to mend it

A journal is a folder of text files that end in .cellar. The first lines of one:

  vessel T1..T4 tank 1200 L
  block  ledge-2 Syrah region "Lower Teal"
  2026-09-14 Mon
  07:00 receive LS from ledge-2, net 1540 kg

ullage --help, and ullage COMMAND --help, tell the rest.
`;

const version = (): string => {
  const parsed: unknown = JSON.parse(readFileSync(packagePath('package.json'), 'utf8'));
  return typeof parsed === 'object' && parsed !== null && 'version' in parsed ? String(parsed.version) : '';
};

const program = new Command('ullage')
  .description('A cellar book in plain text: checks that no litre goes unexplained, and renders lot histories.')
  .showSuggestionAfterError()
  .showHelpAfterError('(--help tells what there is)')
  .exitOverride()
  .enablePositionalOptions()
  .addOption(new Option('-V, --version', 'print the version'))
  .on('option:version', () => {
    process.stdout.write(`${version()}\n`);
    process.exit(0);
  });

program
  .command('check')
  .description('read a journal, check it, and say what was found')
  .argument('<folder>', 'the folder that holds the journal')
  .addOption(new Option('--format <format>', 'for people or for programs').choices(['text', 'json']).default('text'))
  .option('--all', 'show every finding', false)
  .action((folder: string, options: { format: 'text' | 'json'; all: boolean }) => {
    process.exitCode = check(folder, options);
  });

program
  .command('build')
  .description('render the site of a journal')
  .argument('<folder>', 'the folder that holds the journal')
  .requiredOption('--out <folder>', 'where the site goes; made if it is not there')
  .option('--on <day>', 'tell the cellar as of this day (2026-10-15); without it, as of the last day written', DATE)
  .action(async (folder: string, options: { out: string; on?: number }) => {
    const { build } = await import('./build.ts');
    process.exitCode = await build(folder, { out: options.out, on: options.on });
  });

program
  .command('export')
  .description('print the whole derived state of a journal')
  .argument('<folder>', 'the folder that holds the journal')
  .addOption(new Option('--format <format>', 'what to print').choices(['json']).default('json'))
  .option('--on <day>', 'as of this day (2026-10-15); without it, as of the last day written', DATE)
  .action(async (folder: string, options: { on?: number }) => {
    const { exportJournal } = await import('./export.ts');
    process.exitCode = exportJournal(folder, options.on);
  });

program
  .command('explain')
  .description('say what a finding means and how to mend it')
  .argument('<code>', 'the code of a finding, such as vessel-overdrawn')
  .action(async (code: string) => {
    const { explain } = await import('./explain.ts');
    process.exitCode = explain(code);
  });

program
  .command('reckon')
  .description('work out a figure of the trade: sugar, alcohol, sulfur dioxide, acid, nutrients, blends, gas')
  .argument('[calculation]', 'which; without it, all are listed')
  .argument('[inputs...]', 'its figures with their units: --brix 24.6 --volume "1200 L"')
  .helpOption(false)
  .allowUnknownOption()
  .passThroughOptions()
  .action(async (name: string | undefined, inputs: readonly string[]) => {
    const { reckonCommand } = await import('./reckon.ts');
    process.exitCode = await reckonCommand(name, inputs, DATE);
  });

// a reader that closes early (`| head`) is no fault
process.stdout.on('error', (error: NodeJS.ErrnoException) => {
  if (error.code === 'EPIPE') process.exit(0);
  throw error;
});

if (process.argv.length <= 2) process.stdout.write(WELCOME);
else {
  try {
    await program.parseAsync();
  } catch (error) {
    if (!(error instanceof CommanderError)) throw error;
    process.exitCode = error.exitCode === 0 ? 0 : 2;
  }
}
