/** The lines of a plan as they are read: what is due and how often, what to keep within bounds, what to warn of. */
import { type Analyte, findAnalyte } from '../../grammar/analytes.ts';
import type { Amount, Part, Phrase, Span, Word } from '../../grammar/entries.ts';
import { asWritten, instead, insteadIf } from '../../grammar/fixes.ts';
import { nearest } from '../../grammar/suggest.ts';
import { findUnit } from '../../grammar/units.ts';
import { MATERIAL_KINDS, type MaterialKind, SPELLINGS, type VerbWord } from '../../grammar/words.ts';
import { differenceToBase } from '../trade/convert.ts';
import { parseDecimal } from '../trade/decimal.ts';
import type { Dose } from './events.ts';
import { type Line, sayPart } from './line.ts';
import { analyteAt, unknownAnalyte, usualUnit } from './measures.ts';
import { boundsOf, conditionsOf, limitsFrom, minutesOf, paceOf, partsOf, spanOf, tooMuch } from './plan-conditions.ts';
import { PERIODS, type Period, type PlanRow, type Rhythm, type Work } from './plans.ts';
import { doseSaid } from './verbs/parts.ts';
import { analyteName } from './verbs/standing.ts';

/** Verbs whose work can be due: what is done to the wine in a vessel. */
export const WORKS = [
  'press',
  'bleed',
  'chill',
  'warm',
  'inoculate',
  'add',
  'punch-down',
  'pump-over',
  'rack-and-return',
  'aerate',
  'drain',
  'transfer',
  'rack',
  'top',
  'stir',
  'blend',
  'fine',
  'filter',
  'bottle',
  'dip',
  'taste',
  'sample',
  'trial',
  'gas',
] as const satisfies readonly VerbWord[];

/** Works that give something: what it is stands behind them. */
const GIVING: ReadonlySet<VerbWord> = new Set<VerbWord>(['add', 'inoculate', 'fine']);

const isText = (part: Part | undefined): part is Word => part?.type === 'word' || part?.type === 'string';

const lower = (part: Part | undefined): string => (part?.type === 'word' ? part.text.toLowerCase() : '');

/** A line of a plan as it stands, one blank between its words; what only says whose it is left out. */
function saidOf(line: Line): string {
  const list = (items: Phrase['items']): string =>
    items
      .map((item) => item.parts.map((part) => (part.type === 'string' ? `"${part.text}"` : sayPart(part))).join(' '))
      .join(', ');
  const phrases = line.entry.phrases
    .filter(({ word }) => word !== 'by' && word !== 'sic' && word !== 'written')
    .map(({ word, items }) => `${word} ${list(items)}`);
  return [line.entry.verb, list(line.entry.head), ...phrases].filter((part) => part !== '').join(' ');
}

/** One line of a plan; nothing where it cannot be read, and the line then says why. */
export function readPlanRow(line: Line): PlanRow | undefined {
  const row = rowOf(line);
  const by = line.hands();
  return line.failure === undefined && row !== undefined ? { ...row, by } : undefined;
}

function rowOf(line: Line): PlanRow | undefined {
  const { entry, place } = line;
  const parts = partsOf({ items: entry.head });
  const base = { place, said: saidOf(line), by: [], sic: line.has('sic') };
  switch (entry.verb) {
    case 'due':
      return dueOf(line, parts, base);
    case 'keep':
    case 'warn':
      return boundRow(line, parts, base);
    default:
      return undefined;
  }
}

type Base = Pick<PlanRow, 'place' | 'said' | 'by' | 'sic'>;

// what is due

function dueOf(line: Line, parts: readonly Part[], base: Base): PlanRow | undefined {
  const { entry } = line;
  const [stray] = limitsFrom(entry.phrases, 0);
  if (stray !== undefined) {
    return line.fail({
      start: stray.start,
      end: stray.wordEnd,
      code: 'phrase-misplaced',
      message: `\`${stray.word}\` has nothing measured before it`,
      help: `say when the line holds: \`while brix ${stray.word} 5\``,
    });
  }
  const read = workOf(line, parts);
  if (read === undefined) return undefined;
  const { work, rest, what } = read;
  const conditions = conditionsOf(line, entry.phrases);
  if (conditions === undefined) return undefined;
  const waits = conditions.some(({ word }) => word === 'when' || word === 'after');
  const rhythm = rhythmOf(
    line,
    rest,
    { start: entry.verbSpan.start, end: parts.at(-1)?.end ?? entry.verbSpan.end },
    what,
    waits,
  );
  if (rhythm === undefined) return undefined;
  return { ...base, kind: 'due', work, what, rhythm, howOften: sayRhythm(rhythm, rest), conditions };
}

const sayRhythm = (rhythm: Rhythm, rest: readonly Part[]): string =>
  rest.length === 0 && rhythm.kind === 'once' ? 'once' : rest.map(sayPart).join(' ');

interface WorkRead {
  readonly work: Work;
  /** In words. */
  readonly what: string;
  /** What stands behind it: how often. */
  readonly rest: readonly Part[];
}

function workOf(line: Line, parts: readonly Part[]): WorkRead | undefined {
  const [first, ...behind] = parts;
  if (first === undefined) return undefined;
  const said = lower(first);
  const word = SPELLINGS[said] ?? said;
  const withPhrase = line.phrase('with');
  if (word === 'reading') {
    if (withPhrase !== undefined) return noWith(line, withPhrase, 'reading');
    return readingOf(line, first, behind);
  }
  const verb = WORKS.find((known) => known === word);
  if (verb === undefined) return unknownWork(line, first);
  if (!GIVING.has(verb)) {
    if (withPhrase !== undefined) return noWith(line, withPhrase, verb);
    return { work: { kind: 'verb', verb }, what: verb, rest: behind };
  }
  if (verb !== 'add') {
    if (withPhrase === undefined) return { work: { kind: 'verb', verb }, what: verb, rest: behind };
    // `inoculate once with mlb-1` and `inoculate with mlb-1 once` say the same
    const given = givenOf(line, verb, partsOf(withPhrase), { start: withPhrase.start, end: withPhrase.wordEnd });
    return given === undefined ? undefined : { ...given, rest: [...behind, ...given.rest] };
  }
  if (withPhrase !== undefined) return noWith(line, withPhrase, verb);
  return givenOf(line, verb, behind, { start: first.start, end: first.end });
}

function noWith(line: Line, phrase: Phrase, verb: string): undefined {
  return line.fail({
    start: phrase.start,
    end: phrase.wordEnd,
    code: 'phrase-misplaced',
    message: `\`${verb}\` takes no material after \`with\` in a plan`,
    help: 'a material that is due stands after `add`: `due add nutri-a once when a third gone`',
  });
}

function unknownWork(line: Line, first: Part): undefined {
  if (first.type === 'amount') {
    return line.fail({
      start: first.start,
      end: first.end,
      code: 'line-malformed',
      message: `what is due ${sayPart(first)} is missing`,
      help: 'name the work first: `due punch-down 3 a day`',
    });
  }
  if (lower(first) === 'readings') {
    return line.fail({
      start: first.start,
      end: first.end,
      code: 'word-stray',
      message: '`readings` opens a table; a plan asks for a `reading`',
      help: 'write `due reading brix, temp 2 a day`',
    });
  }
  if (first.type === 'word' && findAnalyte(first.text) !== undefined) {
    return line.fail({
      start: first.start,
      end: first.end,
      code: 'word-stray',
      message: `\`${first.text}\` is measured, not done`,
      help: `write \`due reading ${first.text} ...\``,
    });
  }
  const near = nearest(first.text, ['reading', ...WORKS]);
  return line.fail({
    start: first.start,
    end: first.end,
    code: 'word-stray',
    message: `\`${first.text}\` is no work that can be due`,
    help: near === undefined ? `a work is \`reading\` or one of ${WORKS.join(', ')}` : `did you mean \`${near}\`?`,
    ...insteadIf(first, near),
  });
}

function readingOf(line: Line, first: Part, behind: readonly Part[]): WorkRead | undefined {
  const analytes: string[] = [];
  let at = 0;
  for (;;) {
    const found = analyteAt(behind, at);
    if (found === undefined) break;
    if (!analytes.includes(found.analyte.key)) analytes.push(found.analyte.key);
    at = found.next;
  }
  const next = behind[at];
  if (analytes.length === 0) {
    return next === undefined || next.type === 'amount' || RHYTHM_WORDS.includes(lower(next))
      ? line.fail({
          start: first.start,
          end: first.end,
          code: 'phrase-missing',
          message: 'what is to be read is missing',
          help: 'write it: `due reading brix, temp 2 a day`',
        })
      : unknownAnalyte(line, next, '', 'write what is measured: `due reading brix, temp 2 a day`');
  }
  // a word behind the measurements that begins no rhythm is a measurement misspelt
  if (next?.type === 'word' && nearest(next.text, RHYTHM_WORDS) === undefined)
    return unknownAnalyte(line, next, '', 'write what is measured, then how often: `due reading brix, temp 2 a day`');
  return { work: { kind: 'reading', analytes }, what: `reading ${analytes.join(', ')}`, rest: behind.slice(at) };
}

/** The material that is given, with its dose if one is said, and what stands behind it. */
function givenOf(line: Line, verb: VerbWord, parts: readonly Part[], where: Span): WorkRead | undefined {
  const [first, second] = parts;
  if (!isText(first) || (first.type === 'word' && RHYTHM_WORDS.includes(first.text.toLowerCase()))) {
    return line.fail({
      start: where.start,
      end: where.end,
      code: 'phrase-missing',
      message: `what is to be ${verb === 'add' ? 'added' : 'given'} is missing`,
      help: 'name the material, or its kind: `due add nutri-a once when a third gone`',
    });
  }
  const known = line.register.material(first.text);
  const two = `${lower(first)} ${lower(second)}`;
  const kind =
    known === undefined && first.type === 'word'
      ? MATERIAL_KINDS.find((one) => one === two || one === lower(first))
      : undefined;
  let at = kind?.includes(' ') === true ? 2 : 1;
  const work =
    kind === undefined ? materialOf(line, verb, first) : ({ kind: 'material kind', verb, of: kind } as const);
  if (work === undefined) return undefined;
  // a dose is told, and not compared: what went in says itself how much it was
  const amount = parts[at];
  let dose: Dose | undefined;
  if (amount?.type === 'amount' && amount.unit !== undefined && DOSES.has(findUnit(amount.unit)?.dimension ?? '')) {
    at++;
    const behind = parts[at];
    let of: string | undefined;
    if (behind?.type === 'word' && !RHYTHM_WORDS.includes(lower(behind))) {
      of = analyteName(behind.text);
      at++;
    }
    dose = doseSaid(line, amount, false, of);
  }
  const words = verb === 'add' ? [verb] : [verb, 'with'];
  return {
    work: work.kind === 'material' && dose !== undefined ? { ...work, dose } : work,
    what: [...words, ...parts.slice(0, at).map(sayPart)].join(' '),
    rest: parts.slice(at),
  };
}

const DOSES: ReadonlySet<string> = new Set([
  'mass',
  'volume',
  'mass per volume',
  'mass per mass',
  'volume per volume',
  'volume per mass',
]);

function materialOf(line: Line, verb: VerbWord, part: Word): Work | undefined {
  const kinds: readonly MaterialKind[] = MATERIAL_KINDS;
  if (line.register.material(part.text) === undefined) {
    const near = nearest(part.text, [...line.register.materialNameList(), ...kinds]);
    if (near !== undefined) {
      return line.fail({
        start: part.start,
        end: part.end,
        code: 'name-unknown',
        message: `there is no material \`${part.text}\``,
        help: `did you mean \`${near}\`?`,
        ...instead(part, asWritten(near)),
        name: part.text,
      });
    }
  }
  const material = line.material(part);
  return material === undefined ? undefined : { kind: 'material', verb, material };
}

/** Words a rhythm begins with. */
const RHYTHM_WORDS: readonly string[] = ['once', 'twice', 'every', 'daily', 'weekly', 'monthly', 'hourly'];

const WRITTEN_OUT: Readonly<Record<string, string>> = {
  daily: '1 a day',
  weekly: '1 a week',
  monthly: '1 a month',
  hourly: 'every 1 h',
};

/** Most times a day, a week or a month that a plan can ask: an hour apart. */
const MOST: Readonly<Record<Period, number>> = { day: 24, week: 168, month: 720 };

const isPeriod = (word: string): word is Period => (PERIODS as readonly string[]).includes(word);

/** How often; a line that waits for something and says no more is due once. */
function rhythmOf(line: Line, parts: readonly Part[], where: Span, what: string, waits: boolean): Rhythm | undefined {
  const [first, second, third, ...more] = parts;
  if (first === undefined) {
    if (waits) return { kind: 'once' };
    return line.fail({
      start: where.start,
      end: where.end,
      code: 'phrase-missing',
      message: `how often \`${what}\` is due is missing`,
      help: `write it: \`due ${what} 2 a day\`, \`due ${what} every 21 days\`, \`due ${what} once\``,
    });
  }
  if (first.type === 'amount') return countOf(line, first, parts.slice(1), what);
  const word = lower(first);
  if (word === 'every') return everyOf(line, first, parts.slice(1), what);
  if (word === 'once' && second === undefined) return { kind: 'once' };
  if ((word === 'once' || word === 'twice') && lower(second) === 'a' && isPeriod(lower(third))) {
    if (more.length > 0) return tooMuch(line, more, 'put a remark after ` -- `');
    return { kind: 'count', count: word === 'once' ? 1 : 2, period: lower(third) as Period };
  }
  const written = WRITTEN_OUT[word];
  if (written !== undefined) {
    return line.fail({
      start: first.start,
      end: first.end,
      code: 'word-stray',
      message: `\`${word}\` is no rhythm here`,
      help: `write \`due ${what} ${written}\``,
    });
  }
  if (word === 'once')
    return tooMuch(line, parts.slice(1), 'what it waits for stands after `when`: `once when a third gone`');
  const near = first.type === 'word' ? nearest(first.text, ['every', 'once', 'twice']) : undefined;
  return near === undefined
    ? tooMuch(line, parts, `how often stands here: \`due ${what} 2 a day\`; every work has a line of its own`)
    : line.fail({
        start: first.start,
        end: first.end,
        code: 'word-stray',
        message: `\`${sayPart(first)}\` has no place here`,
        help: `did you mean \`${near}\`?`,
        ...instead(first, near),
      });
}

/** `3 a day` */
function countOf(line: Line, amount: Amount, behind: readonly Part[], what: string): Rhythm | undefined {
  const [a, period, ...more] = behind;
  const unit = amount.unit === undefined ? undefined : findUnit(amount.unit);
  const span = { start: amount.start, end: amount.end };
  if (unit?.dimension === 'duration') {
    return line.fail({
      ...span,
      code: 'word-stray',
      message: `\`${sayPart(amount)}\` has no place here`,
      help: `write \`every ${sayPart(amount)}\``,
    });
  }
  if (
    amount.quant !== undefined ||
    amount.high !== undefined ||
    amount.mark !== '' ||
    (unit !== undefined && unit.dimension !== 'count')
  ) {
    return line.fail({
      ...span,
      code: 'word-stray',
      message: `\`${sayPart(amount)}\` has no place here`,
      help: `how often is one whole number: \`due ${what} 2 a day\``,
    });
  }
  const word = lower(period);
  if (lower(a) !== 'a' || !isPeriod(word)) {
    const near = nearest(word === '' ? lower(a) : word, PERIODS) ?? 'day';
    return line.fail({
      ...spanOf(behind, span),
      code: behind.length === 0 ? 'phrase-missing' : 'word-stray',
      message:
        behind.length === 0
          ? `${sayPart(amount)} a day, a week or a month?`
          : `\`${sayPart(amount)} ${behind.map(sayPart).join(' ')}\` is no rhythm`,
      help: `write \`${amount.text} a ${near}\`${near === 'day' ? ', `a week` or `a month`' : ''}`,
    });
  }
  if (more.length > 0) return tooMuch(line, more, 'put a remark after ` -- `');
  if (!Number.isInteger(amount.value) || amount.value < 1 || amount.value > MOST[word]) {
    return line.fail({
      ...span,
      code: 'amount-out-of-range',
      message: `\`${amount.text}\` times a ${word} cannot be done`,
      help: `write a whole number from 1 to ${MOST[word]}`,
    });
  }
  return { kind: 'count', count: amount.value, period: word };
}

/** `every 21 days`, `every day` */
function everyOf(line: Line, every: Part, behind: readonly Part[], what: string): Rhythm | undefined {
  const [length, ...more] = behind;
  if (length?.type === 'amount') {
    if (more.length > 0) {
      return length.unit === undefined
        ? line.fail({
            ...spanOf(behind, every),
            code: 'unit-unknown',
            message: `\`${behind.map(sayPart).join(' ')}\` is no length of time`,
            help: `write it in \`days\`, \`weeks\` or \`h\`: \`every ${length.text} days\``,
          })
        : tooMuch(line, more, 'put a remark after ` -- `');
    }
    const minutes = minutesOf(line, length, 'every 21 days');
    return minutes === undefined ? undefined : { kind: 'every', minutes };
  }
  const word = lower(length);
  if (more.length === 0 && word === 'day') return { kind: 'every', minutes: 1440 };
  if (more.length === 0 && word === 'week') return { kind: 'every', minutes: 10_080 };
  const help =
    word === 'month'
      ? `months differ: write \`due ${what} every 30 days\`, or \`1 a month\``
      : word === 'other' || word === 'second'
        ? 'write `every 2 days`'
        : 'write a length of time: `every 21 days`';
  return line.fail({
    ...spanOf(behind, every),
    code: behind.length === 0 ? 'amount-missing' : 'word-stray',
    message:
      behind.length === 0
        ? 'every how many days is missing'
        : `\`every ${behind.map(sayPart).join(' ')}\` is no rhythm`,
    help,
  });
}

// bounds and warnings

function boundRow(line: Line, parts: readonly Part[], base: Base): PlanRow | undefined {
  const { entry } = line;
  const [first] = parts;
  if (first === undefined) return undefined;
  const found = analyteAt(parts, 0);
  if (found === undefined) {
    return unknownAnalyte(
      line,
      first,
      `${sayPart(first)} stands there without what is measured`,
      `begin with what is measured: \`${entry.verb === 'keep' ? 'keep temp 22..30 C' : 'warn temp above 32 C'}\``,
    );
  }
  const { analyte, next } = found;
  const span = spanOf(parts, entry.verbSpan);
  const limits = limitsFrom(entry.phrases, 0);
  const behind = parts.slice(next);
  const pace = lower(behind[0]);
  const conditions = conditionsOf(line, entry.phrases);
  if (conditions === undefined) return undefined;
  if (pace === 'falling' || pace === 'rising') {
    if (entry.verb === 'keep') {
      return line.fail({
        start: behind[0]?.start ?? span.start,
        end: behind[0]?.end ?? span.end,
        code: 'word-stray',
        message: '`keep` bounds a figure, not its pace',
        help: `write \`warn ${analyte.key} ${pace} under ...\``,
      });
    }
    if (behind.length > 1)
      return tooMuch(
        line,
        behind.slice(1),
        `write \`under\` or \`over\` and a figure: \`${analyte.key} ${pace} under 0.5 a day\``,
      );
    const bounds = boundsOf(line, analyte, [], limits, span, (amount) => pacedFigure(line, analyte, amount));
    return bounds === undefined
      ? undefined
      : { ...base, kind: 'warn', analyte: analyte.key, of: pace, per: paceOf(limits), bounds, conditions };
  }
  if (entry.verb === 'warn' && behind.length > 0 && behind[0]?.type === 'amount') {
    return line.fail({
      ...spanOf(behind, span),
      code: 'phrase-missing',
      message: `\`${behind.map(sayPart).join(' ')}\` may be the least or the most`,
      help: `say which side to warn of: \`warn ${analyte.key} above ${upperOf(behind[0])}\`, or \`under\`; a range to stay in stands after \`keep\``,
    });
  }
  const bounds = boundsOf(line, analyte, behind, limits, span);
  if (bounds === undefined) return undefined;
  return entry.verb === 'keep'
    ? // what lies on a bound is kept
      { ...base, kind: 'keep', analyte: analyte.key, bounds: { ...bounds, strict: false }, conditions }
    : { ...base, kind: 'warn', analyte: analyte.key, of: 'figure', per: 1440, bounds, conditions };
}

/** The upper end of a figure that may be a range, as written. */
const upperOf = ({ high, text, unit }: Amount): string => `${high ?? text}${unit === undefined ? '' : ` ${unit}`}`;

/** How much a figure changes, in the analyte's own unit: a difference, which knows no zero point. */
function pacedFigure(line: Line, analyte: Analyte, amount: Amount): number | undefined {
  const unit = amount.unit === undefined ? undefined : findUnit(amount.unit);
  const written = parseDecimal(amount.text);
  const fits = analyte.fixed
    ? amount.unit === undefined
    : unit !== undefined && analyte.dimensions.includes(unit.dimension);
  if (!fits || written === undefined || amount.value < 0 || amount.mark !== '') {
    return line.fail({
      start: amount.start,
      end: amount.end,
      code: analyte.fixed || amount.unit !== undefined ? 'unit-wrong-kind' : 'unit-missing',
      message: `\`${sayPart(amount)}\` is no change of ${analyte.key}`,
      help: analyte.fixed
        ? `write a plain number: \`${analyte.key} falling under 0.5 a day\``
        : `write it in \`${usualUnit(analyte)}\``,
    });
  }
  if (unit === undefined) return amount.value;
  const to = findUnit(usualUnit(analyte));
  const base = differenceToBase(written, unit);
  return base === undefined || to === undefined
    ? amount.value
    : Number(((base * Number(to.den)) / Number(to.num)).toPrecision(12));
}
