/**
 * How long an editor waits after an edit: a journal of ten years with a month of 5 000 lines open, asked over the protocol.
 * `editor PROGRAM`; prints milliseconds by question as JSON.
 */
import { Client, type Place, placeOf } from '../editor/client.ts';
import { generateJournal, randomFrom } from './generate.mjs';

const [program = ''] = process.argv.slice(2);
const YEARS = 10;
const MONTH = /^(\d{4})\/09(?:-rounds)?\.cellar$/;
/** Edits that each question is asked after. */
const EDITS = 21;
/** How long the server lets the keys rest before it checks; taken off what findings take. */
const SETTLING = 120;

/** Every round of readings once more, an hour later. */
const again = (text: string): string =>
  text.replace(
    /^(\d\d)(:\d\d readings)/gm,
    (_, hour: string, rest: string) => `${String(Number(hour) + 1).padStart(2, '0')}${rest}`,
  );

/** Files of one month as one, each day once. */
function byDay(texts: readonly string[]): string {
  const days = new Map<string, string[]>();
  for (const text of texts) {
    let day = '';
    for (const line of text.split('\n')) {
      if (/^\d{4}-/.test(line)) day = line;
      else if (day !== '' && line.trim() !== '') days.set(day, [...(days.get(day) ?? []), line]);
    }
  }
  return [...days]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([day, lines]) => `${[day, ...lines].join('\n')}\n`)
    .join('\n');
}

/** A journal of ten vintages, one September of which is a file of 5 000 lines and more; nothing after the last. */
function journal(open: number): { files: Record<string, string>; path: string; lines: number } {
  const all = generateJournal(9000 * YEARS).files;
  const first = Number(all.find(({ path }) => MONTH.test(path))?.path.slice(0, 4));
  const [last, year] = [first + YEARS - 1, first + open];
  const kept = all.filter(({ path }) => !/^\d/.test(path) || path < `${last}/10`);
  const month = kept.filter(({ path }) => path.startsWith(`${year}/`) && MONTH.test(path)).map(({ text }) => text);
  const rounds = month.filter((text) => text.includes(' readings '));
  const path = `${year}/09.cellar`;
  const files: Record<string, string> = {};
  for (const file of kept)
    if (!(file.path.startsWith(`${year}/`) && MONTH.test(file.path))) files[file.path] = file.text;
  files[path] = byDay([...month, ...rounds.map(again)]);
  const lines = Object.values(files).reduce((sum, text) => sum + text.split('\n').length, 0);
  return { files, path, lines };
}

const median = (numbers: readonly number[]): number => {
  const sorted = [...numbers].sort((a, b) => a - b);
  return sorted[Math.floor(sorted.length / 2)] ?? 0;
};

interface Said {
  readonly median: number;
  readonly worst: number;
}

const said = (times: readonly number[]): Said => ({
  median: Math.round(median(times) * 10) / 10,
  worst: Math.round(Math.max(...times) * 10) / 10,
});

/** Asks everything after edits at places of the open month. `where` gives a place for a number from 0 to 1. */
async function measure(open: number, end: boolean): Promise<Record<string, Said | number>> {
  const { files, path, lines } = journal(open);
  const client = new Client(files, program);
  const began = performance.now();
  await client.initialize();
  client.open(path, files[path] ?? '');
  await client.until(() => client.lastOf(path)?.version === 1);
  const opened = performance.now() - began;
  const random = randomFrom(7);
  const ends = (): number[] => {
    const text = client.text(path);
    return [...text.matchAll(/^ +B\d+ .*$/gm)].map((match) => match.index + match[0].length);
  };
  const placed = (): number => {
    const all = ends();
    return all[end ? all.length - 1 : Math.floor(random() * all.length)] ?? 0;
  };
  const times = new Map<string, number[]>();
  const keep = (what: string, time: number): void => {
    times.set(what, [...(times.get(what) ?? []), time]);
  };
  /** What is typed: a remark, a figure mended, a line added. */
  const typed = (round: number, offset: number): { version: number; at: Place } => {
    const text = client.text(path);
    const kind = round % 3;
    const line = text.lastIndexOf('\n', offset) + 1;
    if (kind === 0) return { version: client.type(path, offset, offset, ' -- seen'), at: placeOf(text, line + 7) };
    if (kind === 1) {
      const digit = text.slice(line, offset).search(/\d(?!.*\d)/) + line;
      return { version: client.type(path, digit, digit + 1, String((round * 3) % 10)), at: placeOf(text, line + 7) };
    }
    return {
      version: client.type(path, offset, offset, `\n${text.slice(line, offset).split(' -- ')[0]}`),
      at: placeOf(text, line + 7),
    };
  };
  const textDocument = { uri: client.uri(path) };
  const questions: Record<string, (at: Place) => Promise<unknown>> = {
    completion: (position) => client.request('textDocument/completion', { textDocument, position }),
    hover: (position) => client.request('textDocument/hover', { textDocument, position }),
    definition: (position) => client.request('textDocument/definition', { textDocument, position }),
    outline: () => client.request('textDocument/documentSymbol', { textDocument }),
    folds: () => client.request('textDocument/foldingRange', { textDocument }),
    'colours of a screen': (position) =>
      client.request('textDocument/semanticTokens/range', {
        textDocument,
        range: {
          start: { line: Math.max(0, position.line - 30), character: 0 },
          end: { line: position.line + 30, character: 0 },
        },
      }),
    'colours of the file': () => client.request('textDocument/semanticTokens/full', { textDocument }),
  };
  for (let round = 0; round < EDITS; round++) {
    for (const [what, ask] of Object.entries(questions)) {
      const offset = placed();
      const start = performance.now();
      const { version, at } = typed(round, offset);
      await ask(at);
      keep(what, performance.now() - start);
      await client.until(() => client.lastOf(path)?.version === version);
    }
    const start = performance.now();
    const { version } = typed(round, placed());
    await client.until(() => client.lastOf(path)?.version === version);
    keep('findings', performance.now() - start - SETTLING);
  }
  client.end();
  return {
    lines,
    'lines of the open file': client.text(path).split('\n').length,
    opened: Math.round(opened),
    ...Object.fromEntries([...times].map(([what, all]) => [what, said(all)])),
  };
}

const result = {
  'typing at the end of the last month': await measure(YEARS - 1, true),
  'anywhere in the last month': await measure(YEARS - 1, false),
  'anywhere in a month five years back': await measure(YEARS - 6, false),
};
process.stdout.write(`${JSON.stringify(result)}\n`);
