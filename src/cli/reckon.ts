/** `ullage reckon NAME --input FIGURE`: one calculation of the trade, from figures typed or from the record of a vessel. */
import { Command, Option } from 'commander';
import { nearest } from '../../grammar/suggest.ts';
import { foldJournal } from '../cellar/fold.ts';
import { makeBook } from '../cellar/make-book.ts';
import { reckon, reckoningJson, reckoningLines } from '../report/reckoning.ts';
import { type RecordOf, recordOf } from '../report/recorded.ts';
import type { Calculation, Input } from '../trade/calculations/calculation.ts';
import { CALCULATIONS } from '../trade/calculations/index.ts';
import { asksWord } from '../trade/calculations/read-input.ts';
import { isRefused } from '../trade/worked.ts';
import { readFolder } from './journal-files.ts';

/** Options every calculation takes beside its own inputs. */
interface Common {
  readonly journal?: string;
  readonly of?: string;
  readonly on?: number;
  readonly format: 'text' | 'json';
}

const fail = (message: string): number => {
  process.stderr.write(`${message}\n`);
  return 2;
};

function list(): string {
  const widest = Math.max(...CALCULATIONS.map(({ name }) => name.length));
  return [
    'Calculations:',
    '',
    ...CALCULATIONS.map(({ name, say }) => `  ${name.padEnd(widest)}  ${say}`),
    '',
    'ullage reckon NAME --help tells what one asks, its formula and its source. Figures carry their unit: --volume "1200 L".',
    'With --journal FOLDER --of T4, what is not typed comes from the record: volume, newest readings.',
    '',
  ].join('\n');
}

function inputHelp(input: Input): string {
  const words =
    input.choices?.join(', ') ??
    (input.names === 'substance' ? 'a substance, such as potassium metabisulfite' : undefined);
  const usual =
    input.usual === undefined
      ? ''
      : `; ${input.usual}${input.unit === '' ? '' : ` ${input.unit}`} where it is left out`;
  const recorded = input.record === undefined ? '' : '; or from the record';
  return `${input.say}${words === undefined ? (input.unit === '' ? '' : `, ${input.unit}`) : `: ${words}`}${usual}${recorded}`;
}

/** The figure and the word a person types after an option. */
const placeholder = (input: Input): string => (asksWord(input) ? '<word>' : '<figure>');

function commandOf(
  calculation: Calculation,
  parseDay: (text: string) => number,
  run: (options: Common & Record<string, string>) => void,
): Command {
  const command = new Command(`ullage reckon ${calculation.name}`)
    .description(
      [
        calculation.say,
        '',
        `formula: ${calculation.formula}`,
        `holds:   ${calculation.range}`,
        ...calculation.sources.map((source) => `source:  ${source}`),
        ...(calculation.caution === undefined ? [] : [`caution: ${calculation.caution}`]),
        '',
        `example: ullage reckon ${calculation.name} ${calculation.example}`,
      ].join('\n'),
    )
    .showSuggestionAfterError()
    .showHelpAfterError('(--help tells what it asks)')
    .exitOverride();
  for (const input of calculation.inputs) command.option(`--${input.name} ${placeholder(input)}`, inputHelp(input));
  return command
    .option('--journal <folder>', 'take what is not typed from this journal')
    .option('--of <name>', 'the vessel or lot whose record answers')
    .option('--on <day>', 'as of this day (2026-10-15); without it, as of the last day written', parseDay)
    .addOption(new Option('--format <format>', 'for people or for programs').choices(['text', 'json']).default('text'))
    .action(run);
}

/** Every calculation as a command of its own, for who tells what there is to type. */
export const calculationCommands = (): Command[] =>
  CALCULATIONS.map((calculation) => commandOf(calculation, Number, () => undefined));

function recordFor({ journal, of, on }: Common): RecordOf | string | undefined {
  if (journal === undefined)
    return of === undefined ? undefined : '--of needs --journal FOLDER: the journal that has its record';
  if (of === undefined) return '--journal needs --of NAME: the vessel or the lot';
  const read = readFolder(journal);
  if (read.missing) return `${journal}: there is no such folder, or it can't be read`;
  const book = makeBook(read.files, on, foldJournal);
  const found = recordOf(book, of);
  if (found !== undefined) return found;
  const near = nearest(
    of,
    [...book.vessels, ...book.lots].map(({ facts }) => facts.name),
  );
  return `there is no vessel and no lot \`${of}\` in ${journal}${near === undefined ? '' : `; did you mean \`${near}\`?`}`;
}

/** 0 answered, 1 refused by the formula or for want of a figure, 2 usage. */
export async function reckonCommand(
  name: string | undefined,
  rest: readonly string[],
  parseDay: (text: string) => number,
): Promise<number> {
  if (name === undefined || name === '--help' || name === '-h') {
    process.stdout.write(list());
    return 0;
  }
  const calculation = CALCULATIONS.find((one) => one.name === name);
  if (calculation === undefined) {
    const names = CALCULATIONS.map((one) => one.name);
    const near = nearest(name, names) ?? names.find((one) => one.includes(name.slice(0, 5)));
    return fail(
      `there is no calculation \`${name}\`${near === undefined ? '' : `; did you mean \`${near}\`?`}\n\n${list()}`,
    );
  }
  let exit = 0;
  const command = commandOf(calculation, parseDay, (options) => {
    const record = recordFor(options);
    if (typeof record === 'string') {
      exit = fail(record);
      return;
    }
    const typed: Record<string, string | undefined> = {};
    for (const input of calculation.inputs) typed[input.name] = options[camel(input.name)];
    const reckoning = reckon(calculation, typed, record);
    if (isRefused(reckoning)) {
      process.stderr.write(`${reckoning.refused}\n`);
      exit = 1;
      return;
    }
    process.stdout.write(
      options.format === 'json'
        ? `${JSON.stringify(reckoningJson(reckoning), null, 2)}\n`
        : `${reckoningLines(reckoning).map(hang).join('\n')}\n`,
    );
  });
  await command.parseAsync(rest, { from: 'user' });
  return exit;
}

/** Columns a line of an answer takes at most. */
const WIDTH = 100;
/** What a line begins with: a label and its blanks, or blanks alone; what is wrapped hangs beneath what follows. */
const LABEL = /^(?:\w+ {2,}| +)?/;

function hang(line: string): string {
  const indent = ' '.repeat(LABEL.exec(line)?.[0].length ?? 0);
  const lines: string[] = [];
  let rest = line;
  while (rest.length > WIDTH) {
    const at = rest.lastIndexOf(' ', WIDTH);
    if (at <= indent.length) break;
    lines.push(rest.slice(0, at));
    rest = indent + rest.slice(at + 1);
  }
  return [...lines, rest].join('\n');
}

/** As the argument parser names an option: `free-so2` is `freeSo2`. */
const camel = (name: string): string => name.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());
