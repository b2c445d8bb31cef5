/** Cuts journal files into days and reads their lines. */
import type { Code } from '../../grammar/codes.ts';
import { formatDate } from '../../grammar/dates.ts';
import type { Day, Entry, Line, Problem, Row, Word } from '../../grammar/entries.ts';
import { type Fix, insteadIf } from '../../grammar/fixes.ts';
import { FRAMES } from '../../grammar/frames.ts';
import { CONFLICT, LineCursor, type LogicalLine, looksLikeDay } from '../../grammar/lines.ts';
import { readLine } from '../../grammar/read.ts';
import { nearest } from '../../grammar/suggest.ts';
import { VERBS, type VerbWord } from '../../grammar/words.ts';
import type { DayNumber } from './events.ts';
import type { Finding } from './findings.ts';
import { severityOf } from './findings.ts';

export interface SourceFile {
  /** Relative to the journal's folder, with `/`. */
  readonly path: string;
  readonly text: string;
}

/** An entry with the rows and the note below it. */
export interface PlacedEntry {
  readonly entry: Entry;
  readonly file: number;
  readonly line: number;
  /** Offset of the line's text in its file. */
  readonly start: number;
  rows: PlacedRow[];
  children: PlacedEntry[];
  note?: string;
  /** A line of its own below it that could not be read: without it the entry tells too little to be counted. */
  spoiled?: { readonly finding: Finding; readonly words: readonly Word[] };
  /** One that could not be read, without which it still counts. */
  lacking?: boolean;
}

export interface PlacedRow {
  readonly row: Row;
  readonly line: number;
  readonly start: number;
}

/** A line that could not be read, and the words in it that may be names. */
export interface PlacedBroken {
  readonly words: readonly Word[];
  readonly verb?: VerbWord;
  /** Its time, in minutes of its day, where that much could be read. */
  readonly minute?: number;
  readonly finding: Finding;
  readonly line: number;
  /** It is struck, or stands below a line that is: nothing is said of it, and nothing is in doubt. */
  readonly struck?: 'line' | 'below';
  readonly remark?: string;
}

/** What stands under one day line of a file, or before the first one. */
export interface DayBlock {
  readonly file: number;
  readonly day: DayNumber | undefined;
  /** Why the day is not known, where its line could not be read. */
  readonly lost?: Finding;
  /** The first line of the block, and the part of the file's text it spans. */
  readonly line: number;
  readonly from: number;
  readonly to: number;
}

/** The text of a line of a file, from 1, without its line break and without a byte-order mark. */
export function lineAt(text: string, line: number): string {
  let start = text.charCodeAt(0) === 0xfeff ? 1 : 0;
  for (let i = 1; i < line; i++) {
    const newline = text.indexOf('\n', start);
    if (newline === -1) return '';
    start = newline + 1;
  }
  const end = text.indexOf('\n', start);
  return text.slice(start, end === -1 ? text.length : end).replace(/\r$/, '');
}

/** Turns an offset in a file into a finding's place. */
export function whereOf(text: string, file: number, line: number, lineStart: number, start: number, end: number) {
  let row = line;
  let rowStart = lineStart;
  for (;;) {
    const newline = text.indexOf('\n', rowStart);
    if (newline === -1 || newline >= lineStart + start) break;
    rowStart = newline + 1;
    row++;
  }
  const column = lineStart + start - rowStart + 1;
  return { file, line: row, column, endColumn: Math.max(column + 1, column + end - start) };
}

export function placeProblem(text: string, file: number, line: number, lineStart: number, problem: Problem): Finding {
  return {
    code: problem.code,
    severity: severityOf(problem.code),
    where: whereOf(text, file, line, lineStart, problem.start, problem.end),
    message: problem.message,
    ...(problem.help === undefined ? {} : { help: problem.help }),
    ...(problem.fixes === undefined || problem.fixes.length === 0
      ? {}
      : { fixes: problem.fixes.map((fix) => placeFix(text, file, line, lineStart, fix)) }),
    related: [],
  };
}

function placeFix(text: string, file: number, line: number, lineStart: number, { start, end, text: instead }: Fix) {
  const where = whereOf(text, file, line, lineStart, start, end);
  return { where: { ...where, endColumn: where.column + end - start }, text: instead };
}

/**
 * The days of a file, in the order they stand. A day that cannot be read is the one it must mean, else the one before it
 * in the file, else the next one, so that the entries below it are still counted; the finding says so. Where none is
 * known, they wait.
 */
export function cutIntoDays(
  files: readonly SourceFile[],
  file: number,
  report: (finding: Finding) => void,
): { blocks: DayBlock[]; dayLines: { day: Day; line: number; start: number }[] } {
  const text = files[file]?.text ?? '';
  const blocks: DayBlock[] = [];
  const dayLines: { day: Day; line: number; start: number }[] = [];
  let day: DayNumber | undefined;
  /** The first day line, if it could not be read. */
  let lost: Finding | undefined;
  let from = text.charCodeAt(0) === 0xfeff ? 1 : 0;
  let blockLine = 1;
  let start = from;
  let line = 1;
  const close = (to: number): void => {
    if (to > from) blocks.push({ file, day, line: blockLine, from, to });
  };
  while (start < text.length) {
    let newline = text.indexOf('\n', start);
    if (newline === -1) newline = text.length;
    const c = text.charCodeAt(start);
    if (((c >= 48 && c <= 57) || c === 32 || c === 9) && looksLikeDay(text, start, newline)) {
      const end = text.charCodeAt(newline - 1) === 13 ? newline - 1 : newline;
      const read = readLine(text.slice(start, end));
      if (read.line.type === 'day') {
        const unsure = Number.isNaN(read.line.day);
        const known = unsure ? read.line.meant : read.line.day;
        close(start);
        for (const problem of read.problems) {
          const finding = placeProblem(text, file, line, start, problem);
          if (!unsure || finding.severity !== 'error') report(finding);
          else if (known === undefined && day === undefined) lost ??= finding;
          else report(taken(finding, known === undefined ? 'the day above' : formatDate(known)));
        }
        if (known !== undefined) day = known;
        dayLines.push({ day: read.line, line, start });
        from = Math.min(newline + 1, text.length);
        blockLine = line + 1;
      }
    }
    start = newline + 1;
    line++;
  }
  close(text.length);
  // entries under an unreadable first day belong to the next one that can be read
  if (lost !== undefined) {
    const firstKnown = blocks.find((block) => block.day !== undefined)?.day;
    const told = taken(lost, firstKnown === undefined ? undefined : 'the next day');
    report(told);
    for (let i = 0; i < blocks.length; i++) {
      const block = blocks[i] as DayBlock;
      if (block.day === undefined && block.line > lost.where.line)
        blocks[i] = { ...block, day: firstKnown, lost: told };
    }
  }
  return { blocks, dayLines };
}

/** A finding about a day line, with what becomes of the entries below it. */
const taken = (finding: Finding, as: string | undefined): Finding => ({
  ...finding,
  message: `${finding.message}; what stands below ${as === undefined ? 'is not counted' : `is taken as of ${as}`} until this is mended`,
});

/** Text that is struck, though it cannot be read: the times of a line may stand before the word. */
const STRUCK = /^\s*(?:\+?\d{1,2}:\d{2}[\s,.]*)*struck\s/iu;
/** A day is no entry: what stands below it would be taken for work of the day above. */
const STRUCK_DAY = /^\s*struck\s+\d{4}-\d/iu;

export interface ReadBlock {
  readonly entries: PlacedEntry[];
  readonly broken: PlacedBroken[];
  /** The note right under the day line. */
  readonly dayNote: string | undefined;
}

/** The text of a `|` line: one stroke and one blank are taken off, nothing else. */
export function noteText(text: string): string {
  const stroke = text.indexOf('|');
  const rest = text.slice(stroke + 1);
  return rest.startsWith(' ') ? rest.slice(1) : rest;
}

/** Reads the lines of a block and puts rows, cuts and notes where they belong. */
export function readBlock(
  files: readonly SourceFile[],
  block: DayBlock,
  report: (finding: Finding) => void,
): ReadBlock {
  const text = files[block.file]?.text ?? '';
  const entries: PlacedEntry[] = [];
  const broken: PlacedBroken[] = [];
  let dayNote: string | undefined;
  let above: PlacedEntry | undefined;
  /** The entry rows and cuts go to; stays while they follow one another. */
  let owner: PlacedEntry | undefined;
  let lastBroken = false;
  let conflict = false;
  /** A line above that could not be read: rows below it are its own, and wait with it. */
  let headless: Finding | undefined;
  /** The same, where that line is struck. */
  let struckHead: Finding | undefined;
  /** The line above stopped before it was complete. */
  let lastWasCut = false;
  const told = new Set<Finding>();
  const say = (line: LogicalLine, problem: Problem): Finding => {
    const finding = placeProblem(text, block.file, line.line, line.start, problem);
    told.add(finding);
    return finding;
  };
  /** What stands below a struck line is struck with it. */
  const below = (head: Finding): { readonly struck?: 'below' } => (head === struckHead ? { struck: 'below' } : {});
  const line = new LineCursor(text, block.from, block.to, block.line);
  while (line.advance()) {
    const first = text.charCodeAt(line.start);
    if (first === 60 || first === 61 || first === 62 || (first === 124 && text.startsWith('|||||||', line.start))) {
      const raw = text.slice(line.start, line.end);
      if (CONFLICT.test(raw)) {
        if (raw.startsWith('<')) {
          conflict = true;
          say(line, {
            code: 'merge-conflict',
            start: 0,
            end: raw.trimEnd().length,
            message: 'a merge was left unfinished here; both sides are read',
            help: 'keep the right lines and take out the lines of `<`, `=` and `>`',
          });
        } else if (!conflict) {
          conflict = true;
          say(line, {
            code: 'merge-conflict',
            start: 0,
            end: raw.trimEnd().length,
            message: 'a merge was left unfinished here',
            help: 'take out the lines of `<`, `=` and `>`',
          });
        }
        if (raw.startsWith('>')) conflict = false;
        continue;
      }
    }
    if (line.note) {
      const note = noteText(text.slice(line.start, line.end));
      if (above !== undefined) above.note = above.note === undefined ? note : `${above.note}\n${note}`;
      else if (block.day !== undefined && !lastBroken) dayNote = dayNote === undefined ? note : `${dayNote}\n${note}`;
      else if (!lastBroken) {
        say(line, {
          code: 'note-misplaced',
          start: 0,
          end: text.slice(line.start, line.end).trimEnd().length,
          message: 'a note stands above everything it could belong to',
          help: 'put it below a day or an entry, or begin the line with `#`',
        });
      }
      continue;
    }
    const raw = text.slice(line.start, line.end);
    const read = readLine(raw);
    let finding: Finding | undefined;
    const inStruck =
      read.line.type === 'broken' &&
      read.line.verb === undefined &&
      /^\s/u.test(raw) &&
      (owner?.entry.struck === true || (headless !== undefined && headless === struckHead));
    const isDay = STRUCK_DAY.test(raw);
    const struck = read.line.type === 'broken' && !isDay && (inStruck || STRUCK.test(raw));
    if (isDay)
      finding = say(line, {
        code: 'line-malformed',
        start: raw.search(/\S/u),
        end: raw.trimEnd().length,
        message: 'a day cannot be struck; what stands below is taken for work of the day above it',
        help: 'strike the entries of the day, each on its line, or take this line out',
      });
    for (const problem of isDay ? [] : read.problems) {
      const placed = struck ? placeProblem(text, block.file, line.line, line.start, problem) : say(line, problem);
      if (placed.severity === 'error' || finding === undefined) finding = placed;
    }
    const said: Line = read.line;
    if (said.type === 'blank') continue;
    lastBroken = false;
    if (said.type !== 'broken') lastWasCut = false;
    if (said.type === 'row') {
      if (owner === undefined && headless !== undefined) {
        broken.push({ words: rowWords(said), finding: headless, line: line.line, ...below(headless) });
        lastBroken = true;
        continue;
      }
      if (owner === undefined) {
        const problem: Problem = {
          code: 'row-misplaced',
          start: said.name.start,
          end: said.name.end,
          message: `\`${said.name.text}\` is not a verb, and no table stands above for it to be a row of`,
          help: 'begin the line with a verb; rows stand right below `readings` or `trial`',
        };
        broken.push({ words: rowWords(said), finding: say(line, problem), line: line.line });
        above = undefined;
        lastBroken = true;
        continue;
      }
      const stray = strayRow(owner.entry.verb, said);
      if (stray !== undefined) {
        const told = say(line, stray);
        if (owner.entry.verb === 'plan' && nearest(said.name.text, VERBS) === 'plan') {
          // a plan of its own: what stands below it is its, and not of the plan above
          broken.push({ words: rowWords(said), verb: 'plan', finding: told, line: line.line });
          owner = undefined;
          headless = told;
        } else {
          broken.push({ words: [], verb: owner.entry.verb, finding: told, line: line.line });
          owner.lacking = true;
        }
        lastBroken = true;
        continue;
      }
      owner.rows.push({ row: said, line: line.line, start: line.start });
      continue;
    }
    if (said.type === 'entry') {
      const placed: PlacedEntry = {
        entry: said,
        file: block.file,
        line: line.line,
        start: line.start,
        rows: [],
        children: [],
      };
      const under = UNDER.get(said.verb);
      if (under !== undefined) {
        if (owner?.entry.verb === under) {
          owner.children.push(placed);
          above = placed;
          continue;
        }
        if (headless !== undefined) {
          broken.push({
            words: entryWords(said),
            verb: said.verb,
            finding: headless,
            line: line.line,
            ...below(headless),
          });
          above = undefined;
          lastBroken = true;
          continue;
        }
        const problem: Problem = {
          code: 'row-misplaced',
          start: said.verbSpan.start,
          end: said.verbSpan.end,
          message: `\`${said.verb}\` stands below a \`${under}\`, and there is none right above`,
          help: `put it below its \`${under}\` line`,
        };
        broken.push({ words: entryWords(said), verb: said.verb, finding: say(line, problem), line: line.line });
        above = undefined;
        lastBroken = true;
        continue;
      }
      entries.push(placed);
      headless = undefined;
      above = placed;
      owner = OWNS.has(said.verb) ? placed : undefined;
      continue;
    }
    if (inStruck && finding !== undefined) {
      broken.push({ words: [], finding, line: line.line, struck: 'below' });
      above = undefined;
      lastBroken = true;
      lastWasCut = false;
      continue;
    }
    if (struck && said.type === 'broken' && finding !== undefined) {
      struckHead = finding;
      if (said.verb === undefined || OWNS.has(said.verb)) headless = finding;
      broken.push({
        words: [],
        finding,
        line: line.line,
        struck: 'line',
        ...(said.verb === undefined ? {} : { verb: said.verb }),
        ...(said.minute === undefined ? {} : { minute: said.minute }),
        ...(said.remark === undefined ? {} : { remark: said.remark }),
      });
      above = undefined;
      lastBroken = true;
      lastWasCut = false;
      continue;
    }
    if (said.type === 'broken' && finding !== undefined) {
      const above = broken[broken.length - 1];
      if (finding.code === 'line-malformed' && lastWasCut && above !== undefined) {
        // the end of a line stands on the next: the line above lacks what is here
        told.delete(above.finding);
        broken[broken.length - 1] = { ...above, finding };
      }
      const verb = said.verb ?? nearest(said.words[0]?.text ?? '', VERBS);
      // a line below a press that begins with no known verb and no time stands for one of its cuts
      const isCut = verb === 'cut' || (said.verb === undefined && said.minute === undefined && /^\s/u.test(raw));
      if (isCut && owner?.entry.verb === 'press') owner.spoiled ??= { finding, words: said.words };
      // a line of its own, with a time before it perhaps: what stands below is its, and not of the trial above
      const isOther = owner?.entry.verb === 'trial' && (verb === 'trial' || said.minute !== undefined);
      if (verb === 'plan' || isOther) {
        owner = undefined;
        headless = finding;
      } else if (
        owner?.entry.verb === 'plan' &&
        (verb === undefined || BELOW.get('plan')?.some((row) => row === verb) === true)
      ) {
        owner.lacking = true;
      } else if (owner?.entry.verb === 'trial' && (said.verb === undefined || said.verb === 'choose')) {
        owner.lacking = true;
      }
      lastWasCut = CUT_SHORT.has(finding.code);
      // its rows stand below it, if it was to have any
      if (said.verb === undefined || OWNS.has(said.verb)) headless ??= finding;
      broken.push({
        words: said.words,
        finding,
        line: line.line,
        ...(said.verb === undefined ? (verb === 'plan' ? { verb } : {}) : { verb: said.verb }),
        ...(said.minute === undefined ? {} : { minute: said.minute }),
      });
    }
    above = undefined;
    lastBroken = true;
    // the rows of a table go on after one that could not be read
  }
  for (const finding of told) report(finding);
  return { entries, broken, dayNote };
}

/** What is found where a line goes on in the next without a comma. */
const CUT_SHORT: ReadonlySet<Code> = new Set<Code>(['phrase-missing', 'line-unfinished', 'amount-missing']);

/** The verbs that have rows or lines of their own below them, and those that stand below one: the frames say which. */
const UNDER = new Map<VerbWord, VerbWord>();
const OWNS = new Set<VerbWord>();
/** The lines that may stand below a verb. */
const BELOW = new Map<VerbWord, VerbWord[]>();
for (const verb of VERBS) {
  const frame = FRAMES[verb];
  if (frame.rows === true) OWNS.add(verb);
  if (frame.under !== undefined) {
    UNDER.set(verb, frame.under);
    BELOW.set(frame.under, [...(BELOW.get(frame.under) ?? []), verb]);
    OWNS.add(frame.under);
  }
}

/** A row that is one of the lines of its own a verb has below it, misspelt: `dew top every 21 days` under a plan. */
function strayRow(owner: VerbWord, row: Row): Problem | undefined {
  const { text, start, end } = row.name;
  const own = BELOW.get(owner) ?? [];
  if (own.length === 0) return undefined;
  const near = nearest(text, own);
  // a plan has no rows but these; the rows of a trial may be called as one likes
  if (owner !== 'plan' && (near === undefined || text.length < 4)) return undefined;
  return {
    start,
    end,
    code: 'verb-unknown',
    message: `\`${text}\` is no line of a ${owner}`,
    help:
      near === undefined ? `begin it with ${own.map((verb) => `\`${verb}\``).join(', ')}` : `did you mean \`${near}\`?`,
    ...insteadIf({ start, end }, near),
  };
}

const rowWords = (row: Row): Word[] => [
  row.name,
  ...row.cells.filter((cell): cell is Word => cell.type === 'word' || cell.type === 'string'),
];

/** Every word of an entry that may be a name. */
export function entryWords(entry: Entry): Word[] {
  const words: Word[] = [];
  for (const items of [entry.head, ...entry.phrases.map((phrase) => phrase.items)]) {
    for (const item of items) {
      for (const part of item.parts) if (part.type === 'word' || part.type === 'string') words.push(part);
    }
  }
  return words;
}
