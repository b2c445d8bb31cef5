#!/usr/bin/env node
/** The command line: arguments, and the only place that sets the exit code. */
import { Argument, Command, CommanderError, InvalidArgumentError, Option } from 'commander';
import { parseDate } from '../../grammar/dates.ts';
import { CREW_SHEETS, type CrewSheetKind } from '../report/crew-sheets/kinds.ts';
import type { BlendOptions } from './blend.ts';
import { check } from './check.ts';
import type { DiffOptions } from './diff.ts';
import type { TrialOptions } from './trial.ts';
import { version } from './version.ts';
import type { VolumesOptions } from './volumes.ts';

const DATE = (text: string): number => {
  const day = parseDate(text);
  if (Number.isNaN(day)) throw new InvalidArgumentError('A day is written as 2026-09-14.');
  return day;
};

const TIME = (text: string): string => {
  if (!/^(?:[01]\d|2[0-3]):[0-5]\d$/.test(text)) throw new InvalidArgumentError('A time is written as 07:40.');
  return text;
};

/** Days ahead: a year and a day at most. */
const DAYS = (text: string): number => {
  const days = Number(text);
  if (!/^\d+$/.test(text) || days > 366) throw new InvalidArgumentError('A number of days from 0 to 366.');
  return days;
};

const PLACES = (text: string): number => {
  if (!/^[0-3]$/.test(text)) throw new InvalidArgumentError('A number of decimal places from 0 to 3.');
  return Number(text);
};

const PORT = (text: string): number => {
  if (!/^\d{1,5}$/.test(text) || Number(text) > 65_535)
    throw new InvalidArgumentError('A port is a number from 0 to 65535.');
  return Number(text);
};

const YEAR = (text: string): number => {
  if (!/^(?:19|20|21)\d\d$/.test(text)) throw new InvalidArgumentError('A year is written as 2026.');
  return Number(text);
};

const WELCOME = `Ullage keeps the cellar book of a winery in plain text.

  ullage new FOLDER                 starts a journal, with comments that teach
  ullage check FOLDER               reads the journal in FOLDER and says what does not add up
  ullage build FOLDER --out SITE    renders lot histories and charts; open SITE/index.html
  ullage watch FOLDER               shows the site while you write
  ullage export FOLDER              prints everything the journal comes to, as JSON
  ullage due FOLDER                 lists the work that is due by the journal's plans
  ullage reckon                     works out doses, alcohol, sulfur dioxide, blends and more
  ullage tidy FOLDER                writes the journal's files in one form; what they say stays the same
  ullage explain CODE               says what a finding means and how to mend it

A journal is a folder of text files that end in .cellar. The first lines of one:

  vessel T1..T4 tank 1200 L
  block  ledge-2 Syrah region "Lower Teal"
  2026-09-14 Mon
  07:00 receive LS from ledge-2, net 1540 kg

ullage --help, and ullage COMMAND --help, tell the rest.
`;

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
  .addOption(
    new Option('--format <format>', 'for people or for programs').choices(['text', 'json', 'sarif']).default('text'),
  )
  .option('--all', 'show every finding', false)
  .action(async (folder: string, options: { format: 'text' | 'json' | 'sarif'; all: boolean }) => {
    process.exitCode = await check(folder, options);
  });

program
  .command('build')
  .description('render the site of a journal')
  .argument('<folder>', 'the folder that holds the journal')
  .requiredOption('--out <folder>', 'where the site goes; made if it is not there')
  .option('--on <day>', 'tell the cellar as of this day (2026-10-15); without it, as of the last day written', DATE)
  .option('--history', 'read version control too, for the page of corrections', false)
  .action(async (folder: string, options: { out: string; on?: number; history: boolean }) => {
    const { build } = await import('./build.ts');
    process.exitCode = await build(folder, { out: options.out, on: options.on, history: options.history });
  });

program
  .command('export')
  .description('print the whole derived state of a journal')
  .argument('<folder>', 'the folder that holds the journal')
  .addOption(
    new Option('--format <format>', 'one document to print, or tables in a folder')
      .choices(['json', 'csv'])
      .default('json'),
  )
  .option('--out <folder>', 'where the tables go; made if it is not there')
  .option('--on <day>', 'as of this day (2026-10-15); without it, as of the last day written', DATE)
  .action(async (folder: string, options: { format: 'json' | 'csv'; out?: string; on?: number }) => {
    const { exportJournal } = await import('./export.ts');
    process.exitCode = exportJournal(folder, { format: options.format, out: options.out, on: options.on });
  });

program
  .command('due')
  .description('list the work that is due by the plans of a journal: overdue, today, and the days ahead')
  .argument('<folder>', 'the folder that holds the journal')
  .option('--on <day>', 'as of this day (2026-10-15); without it, as of the last day written', DATE)
  .option('--days <number>', 'how many days ahead are told as well', DAYS, 7)
  .option('--for <name>', 'only what concerns this hand, lot, vessel or plan')
  .addOption(new Option('--format <format>', 'for people or for programs').choices(['text', 'json']).default('text'))
  .action(async (folder: string, options: { on?: number; days: number; for?: string; format: 'text' | 'json' }) => {
    const { due } = await import('./due.ts');
    process.exitCode = due(folder, {
      format: options.format,
      on: options.on,
      days: options.days,
      for: options.for,
    });
  });

program
  .command('sheet')
  .description('write a sheet for the crew to print: what is due, with blanks to write in, in the order of the walk')
  .argument('<folder>', 'the folder that holds the journal')
  .addArgument(new Argument('<kind>', 'which sheet').choices(CREW_SHEETS.map(({ kind }) => kind)))
  .requiredOption('--out <file>', 'the page that is written')
  .option('--on <day>', 'for this day (2026-10-15); without it, the last day written, or the next with such work', DATE)
  .option('--for <name>', 'only what concerns this hand, lot, vessel or plan')
  .option(
    '--order <walk>',
    'vessels and places as they are walked: "T1..T9, barrel room"; without it, as the journal says',
  )
  .action(
    async (
      folder: string,
      kind: CrewSheetKind,
      options: { out: string; on?: number; for?: string; order?: string },
    ) => {
      const { sheet } = await import('./sheet.ts');
      const { out, on, order } = options;
      process.exitCode = await sheet(folder, kind, { out, on, order, for: options.for });
    },
  );

program
  .command('round')
  .description('print the readings that are due as lines of a journal, with dashes to fill in')
  .argument('<folder>', 'the folder that holds the journal')
  .option(
    '--on <day>',
    'for this day (2026-10-15); without it, the last day written, or the next with a reading due',
    DATE,
  )
  .option('--at <time>', 'the time of the round, as 07:00', TIME)
  .option('--for <name>', 'only what concerns this hand, lot, vessel or plan')
  .option(
    '--order <walk>',
    'vessels and places as they are walked: "T1..T9, barrel room"; without it, as the journal says',
  )
  .option('--into <file>', 'put it at the end of this file of the journal; without it, nothing is written')
  .addOption(new Option('--format <format>', 'for people or for programs').choices(['text', 'json']).default('text'))
  .action(
    async (
      folder: string,
      options: { on?: number; at?: string; for?: string; order?: string; into?: string; format: 'text' | 'json' },
    ) => {
      const { round } = await import('./round.ts');
      const { on, at, order, into, format } = options;
      process.exitCode = round(folder, { on, at, order, into, format, for: options.for });
    },
  );

program
  .command('enter')
  .description('print the readings of a table from a laboratory or a logger as lines of a journal')
  .argument('<file>', 'the table: comma-separated values, with headings')
  .argument('<folder>', 'the folder that holds the journal')
  .option(
    '--column <meaning>',
    'what a heading means: "Brix=brix", "Temp F=temp F", "Tank=vessel", "Date=day month/day/year"; again for each',
    (one: string, before: readonly string[]) => [...before, one],
    [],
  )
  .option('--vessel <name>', 'what all rows are of, where no column tells it')
  .option('--day <day>', 'the day of all rows, where no column tells it', DATE)
  .addOption(new Option('--decimal <mark>', 'what stands before decimals').choices(['point', 'comma']))
  .option('--into <file>', 'put them at the end of this file of the journal; without it, nothing is written')
  .addOption(new Option('--format <format>', 'for people or for programs').choices(['text', 'json']).default('text'))
  .action(
    async (
      file: string,
      folder: string,
      options: {
        column: readonly string[];
        vessel?: string;
        day?: number;
        decimal?: 'point' | 'comma';
        into?: string;
        format: 'text' | 'json';
      },
    ) => {
      const { enter } = await import('./enter.ts');
      const { column, vessel, day, decimal, into, format } = options;
      process.exitCode = enter(file, folder, { column, vessel, day, decimal, into, format });
    },
  );

program
  .command('claims')
  .description('compare what labels claim with the record and the chosen law, and tell the trail of each wine')
  .argument('<folder>', 'the folder that holds the journal')
  .argument('[wine]', 'a bottling or a lot; without it, every bottling and every wine with a label')
  .option('--on <day>', 'as of this day (2026-10-15); without it, as of the last day written', DATE)
  .addOption(new Option('--format <format>', 'for people or for programs').choices(['text', 'json']).default('text'))
  .action(async (folder: string, wine: string | undefined, options: { on?: number; format: 'text' | 'json' }) => {
    const { claims } = await import('./claims.ts');
    process.exitCode = claims(folder, wine, { format: options.format, on: options.on });
  });

program
  .command('volumes')
  .description('tell the wine of a period by class: what was there, came, went and is, in litres and wine gallons')
  .argument('<folder>', 'the folder that holds the journal')
  .option('--month <month>', 'a month, as 2027-07; without any period, the month the record ends in')
  .option('--quarter <quarter>', 'a quarter of a year, as 2027-Q3')
  .option('--year <year>', 'a year, as 2027, with its losses')
  .option('--from <day>', 'any days, from this one; with --to')
  .option('--to <day>', 'the last day of them; with --from')
  .addOption(
    new Option('--format <format>', 'for people, for programs, or for a spreadsheet')
      .choices(['text', 'json', 'csv'])
      .default('text'),
  )
  .addOption(
    new Option('--gallons <factor>', "wine gallons by the factor the chosen law's rule has, or exactly")
      .choices(['rule', 'exact'])
      .default('rule'),
  )
  .option('--places <number>', 'decimal places of the figures, 0 to 3', PLACES, 2)
  .option('--out <file>', 'the file it is written to; without it, it is printed')
  .option('--on <day>', 'as of this day (2026-10-15); without it, as of the last day written', DATE)
  .action(async (folder: string, options: VolumesOptions) => {
    const { volumes } = await import('./volumes.ts');
    process.exitCode = volumes(folder, options);
  });

program
  .command('tidy')
  .description('write journal files in their tidy form; what they say stays the same')
  .argument('<paths...>', 'folders that hold a journal, or journal files')
  .option('--check', 'write nothing, and end with 1 if a file would change', false)
  .option('--diff', 'write nothing, and show what would change', false)
  .action(async (paths: readonly string[], options: { check: boolean; diff: boolean }) => {
    const { tidy } = await import('./tidy.ts');
    process.exitCode = tidy(paths, options);
  });

program
  .command('diff')
  .description('say what two journals, or two revisions of one, tell differently, and which commits made it so')
  .argument('[before]', 'a folder, a revision, or a range of revisions as v1..v2; without it, the last commit')
  .argument('[after]', 'a folder or a revision; without it, the work tree')
  .option('--journal <folder>', 'the folder of the journal whose revisions are compared', '.')
  .addOption(new Option('--format <format>', 'for people or for programs').choices(['text', 'json']).default('text'))
  .option('--page <file>', 'write it as a page as well: one file with everything in it')
  .option('--all', 'show everything, however long', false)
  .action(async (before: string | undefined, after: string | undefined, options: DiffOptions) => {
    const { diff } = await import('./diff.ts');
    process.exitCode = await diff(before, after, options);
  });

program
  .command('history')
  .description('follow a lot through the commits of its journal: which lines changed, and what its volume became')
  .argument('<lot>', 'the name of the lot, as it is now or was before')
  .option('--journal <folder>', 'the folder of the journal, in its repository', '.')
  .addOption(new Option('--format <format>', 'for people or for programs').choices(['text', 'json']).default('text'))
  .option('--all', 'show every change of every commit', false)
  .action(async (lot: string, options: { journal: string; format: 'text' | 'json'; all: boolean }) => {
    const { history } = await import('./history.ts');
    process.exitCode = await history(lot, options);
  });

program
  .command('corrections')
  .description('list what was mended in the record, by whom and when: struck lines, late entries, past days changed')
  .argument('<folder>', 'the folder that holds the journal')
  .option('--on <day>', 'as of this day (2026-10-15); without it, as of the last day written', DATE)
  .option('--no-history', 'only what the journal says itself; version control is not asked')
  .addOption(new Option('--format <format>', 'for people or for programs').choices(['text', 'json']).default('text'))
  .action(async (folder: string, options: { on?: number; history: boolean; format: 'text' | 'json' }) => {
    const { corrections } = await import('./corrections.ts');
    process.exitCode = await corrections(folder, {
      format: options.format,
      on: options.on,
      history: options.history,
    });
  });

program
  .command('stocktake')
  .description(
    'print what should be in the cellar, to be gone through: lines for the journal, or a sheet to fill in by hand',
  )
  .argument('<folder>', 'the folder that holds the journal')
  .option('--on <day>', 'by the book at the end of this day (2026-10-15); without it, of the last day written', DATE)
  .addOption(
    new Option('--format <format>', 'lines for the journal, or a page to print')
      .choices(['journal', 'html'])
      .default('journal'),
  )
  .option('--blind', 'leave out what should be there, so that nobody counts what the book wants to hear', false)
  .option('--out <file>', 'the file it goes to; without it, it is printed')
  .action(
    async (folder: string, options: { on?: number; format: 'journal' | 'html'; blind: boolean; out?: string }) => {
      const { stocktake } = await import('./stocktake.ts');
      process.exitCode = await stocktake(folder, {
        format: options.format,
        on: options.on,
        blind: options.blind,
        out: options.out,
      });
    },
  );

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

/** Options that may stand again. */
const EACH = (text: string, before: readonly string[] | undefined): readonly string[] => [...(before ?? []), text];

program
  .command('blend')
  .description('find a blend from the wines in the cellar that keeps to what is asked, or say what stands in its way')
  .argument('<folder>', 'the folder that holds the journal')
  .option('--from <wines>', 'vessels, ranges and lots to blend: T4,T5,FB-01..FB-03; may stand again', EACH)
  .option('--make <volume>', 'how much is to arrive: 900L; without it, as much as can be made')
  .option('--limit <text>', 'how much of a wine at most, or between: "T4 300 L", "T5 50..200 L"', EACH)
  .option('--whole <vessels>', 'vessels that are taken whole or not at all', EACH)
  .option('--keep <text>', 'a figure to keep: "alcohol 13..13.5 %", "TA above 5.5 g/L"', EACH)
  .option('--share <text>', 'a share to keep: "variety Syrah, vintage 2026 above 85 %", "T5 under 20 %"', EACH)
  .option('--reading <text>', 'a figure the record lacks: "T5 TA 5.6 g/L"', EACH)
  .option('--least <wines>', 'take as little of these as can be')
  .option('--most <wines>', 'take as much of these as can be')
  .option('--near <row>', 'as near as can be to a row of a trial: "E-4 B"; a trial alone is its chosen row')
  .option('--lees <volume>', 'lees that stay behind, drawn beside what is made')
  .option('--loss <volume>', 'what is lost in the blending, drawn beside what is made')
  .option('--step <volume>', 'what amounts are rounded to; 1 L without it')
  .option('--to <vessels>', 'where it goes; without it, the smallest empty vessel that takes it')
  .option('--as <name>', 'what the blend is called')
  .option('--page <file>', 'write the recipe as a page as well: one file with everything in it')
  .option('--on <day>', 'as of this day (2026-10-15); without it, as of the last day written', DATE)
  .addOption(new Option('--format <format>', 'for people or for programs').choices(['text', 'json']).default('text'))
  .action(async (folder: string, options: BlendOptions) => {
    const { blend } = await import('./blend.ts');
    process.exitCode = await blend(folder, options);
  });

program
  .command('trial')
  .description('tell a bench trial: its tasters, the amounts for the cellar, and sheets for a blind tasting')
  .argument('<folder>', 'the folder that holds the journal')
  .argument('[name]', 'the name of the trial; without it, all are listed')
  .option('--sheet <file>', 'write tasting sheets to print, a page a taster, with a key for whoever pours')
  .option('--tasters <names>', 'whose sheets: ana, bo, cy; without it, the hands of the trial')
  .option('--row <name>', 'the row whose amounts are told; without it, the one chosen')
  .option('--make <volume>', 'how much of a blend; without it, as much as there is')
  .option('--on <day>', 'as of this day (2026-10-15); without it, as of the last day written', DATE)
  .addOption(new Option('--format <format>', 'for people or for programs').choices(['text', 'json']).default('text'))
  .action(async (folder: string, name: string | undefined, options: TrialOptions) => {
    const { trial } = await import('./trial.ts');
    process.exitCode = await trial(folder, name, options);
  });

program
  .command('watch')
  .description('build the site while the journal is written, and show it on this machine')
  .argument('<folder>', 'the folder that holds the journal')
  .option('--out <folder>', 'where the site goes; without it, into a folder that is taken away at the end')
  .option('--port <number>', 'where it is shown; 0 takes any port that is free', PORT, 4488)
  .option('--on <day>', 'as of this day (2026-10-15); without it, as of the last day written', DATE)
  .action(async (folder: string, options: { out?: string; port: number; on?: number }) => {
    const { watch } = await import('./watch.ts');
    process.exitCode = await watch(folder, { out: options.out, port: options.port, on: options.on });
  });

program
  .command('new')
  .description('start a journal, in a folder that holds nothing yet')
  .argument('<folder>', 'the folder of the journal; made if it is not there')
  .addOption(
    new Option('--example <example>', 'what it begins with: one day, or a short season')
      .choices(['small', 'season'])
      .default('small'),
  )
  .action(async (folder: string, options: { example: 'small' | 'season' }) => {
    const { newJournal } = await import('./new.ts');
    process.exitCode = newJournal(folder, options.example);
  });

program
  .command('archive')
  .description('put a vintage away: journal, pages, tables and language in a folder with checksums (BagIt)')
  .argument('<folder>', 'the folder that holds the journal')
  .requiredOption('--vintage <year>', 'the year of the fruit', YEAR)
  .requiredOption('--to <folder>', 'where the archive goes; it must hold nothing yet')
  .option('--on <day>', 'as of this day (2026-10-15); without it, as of the last day written', DATE)
  .action(async (folder: string, options: { vintage: number; to: string; on?: number }) => {
    const { archive } = await import('./archive.ts');
    process.exitCode = await archive(folder, { vintage: options.vintage, to: options.to, on: options.on });
  });

program
  .command('verify')
  .description('say whether an archive is whole: nothing missing, changed or added')
  .argument('<folder>', 'the folder of the archive')
  .action(async (folder: string) => {
    const { verify } = await import('./verify.ts');
    process.exitCode = verify(folder);
  });

program
  .command('language-server')
  .description('tell an editor of a journal while it is written, over the language server protocol')
  .option('--stdio', 'speak over standard input and output, as it always does', true)
  .allowUnknownOption()
  .action(async () => {
    const { languageServer } = await import('./language-server.ts');
    languageServer();
  });

program
  .command('completions')
  .description('print a script that completes the words of this program in a shell')
  .addArgument(new Argument('<shell>', 'which shell').choices(['bash', 'zsh', 'fish']))
  .action(async (shell: 'bash' | 'zsh' | 'fish') => {
    const { completions } = await import('./completions.ts');
    completions(program, shell);
  });

program
  .command('manual')
  .description('print the manual page')
  .action(async () => {
    const { manual } = await import('./manual.ts');
    manual(program);
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
