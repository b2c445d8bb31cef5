/** What the lines of a plan hold to: figures with their bounds, lengths of time, and conditions on the record. */
import type { Analyte } from '../../grammar/analytes.ts';
import { parseDate } from '../../grammar/dates.ts';
import type { Amount, Part, Phrase, Span } from '../../grammar/entries.ts';
import { nearest } from '../../grammar/suggest.ts';
import { findUnit } from '../../grammar/units.ts';
import type { ClauseWord, LinkWord } from '../../grammar/words.ts';
import { type Line, sayPart } from './line.ts';
import { analyteAt, measure, unknownAnalyte, usualUnit } from './measures.ts';
import { type Bounds, type Condition, STAGE_WORDS, type StageWord, type Test } from './plans.ts';

/** The parts of a list, commas aside. */
export const partsOf = (phrase: Pick<Phrase, 'items'> | undefined): Part[] =>
  (phrase?.items ?? []).flatMap((item) => [...item.parts]);

/** Where several parts stand, from the first to the last. */
export const spanOf = (parts: readonly Part[], otherwise: Span): Span => {
  const first = parts[0];
  const last = parts[parts.length - 1];
  return first === undefined || last === undefined
    ? { start: otherwise.start, end: otherwise.end }
    : { start: first.start, end: last.end };
};

const LIMITS: ReadonlySet<LinkWord | ClauseWord> = new Set<LinkWord | ClauseWord>(['above', 'under', 'over']);

/** The phrases from one on that say `above`, `under` or `over`: they belong to what stands before them. */
export function limitsFrom(phrases: readonly Phrase[], at: number): Phrase[] {
  const limits: Phrase[] = [];
  for (let i = at; i < phrases.length; i++) {
    const phrase = phrases[i];
    if (phrase === undefined || !LIMITS.has(phrase.word)) break;
    limits.push(phrase);
  }
  return limits;
}

/** A word too many, with the place where it stands. */
export function tooMuch(line: Line, parts: readonly Part[], help: string): undefined {
  const [first] = parts;
  if (first === undefined) return undefined;
  return line.fail({
    ...spanOf(parts, first),
    code: 'word-stray',
    message: `\`${parts.map(sayPart).join(' ')}\` has no place here`,
    help,
  });
}

/** A figure of an analyte in its own unit. */
function figureOf(line: Line, analyte: Analyte, amount: Amount): { low: number; high: number | undefined } | undefined {
  if (Number.isNaN(amount.value) || amount.mark !== '') {
    return line.fail({
      start: amount.start,
      end: amount.end,
      code: 'amount-missing',
      message: `\`${sayPart(amount)}\` is no bound for ${analyte.key}`,
      help: `write a plain figure: \`${analyte.key} above ${exampleOf(analyte)}\``,
    });
  }
  const measured = measure(line, analyte, amount, undefined);
  return measured === undefined ? undefined : { low: measured.value, high: measured.high };
}

const exampleOf = (analyte: Analyte): string => {
  const [low, high] = analyte.plausible;
  const middle = Number(((low + high) / 2).toPrecision(2));
  return analyte.fixed ? String(middle) : `${middle} ${usualUnit(analyte)}`;
};

/**
 * Bounds as they are said of an analyte: a range right behind it, or `above` and `under` figures. Fails where none is
 * said, or where nothing lies between them.
 */
export function boundsOf(
  line: Line,
  analyte: Analyte,
  behind: readonly Part[],
  limits: readonly Phrase[],
  where: Span,
  rate?: (amount: Amount) => number | undefined,
): Bounds | undefined {
  let low: number | undefined;
  let high: number | undefined;
  const [first, ...rest] = behind;
  if (first !== undefined) {
    if (first.type !== 'amount' || first.high === undefined) {
      return line.fail({
        start: first.start,
        end: first.end,
        code: first.type === 'amount' ? 'phrase-missing' : 'word-stray',
        message:
          first.type === 'amount'
            ? `\`${sayPart(first)}\` may be the least or the most`
            : `\`${sayPart(first)}\` has no place after ${analyte.key}`,
        help: boundsHelp(line, analyte, first),
      });
    }
    const figure = figureOf(line, analyte, first);
    if (figure === undefined) return undefined;
    low = figure.low;
    high = figure.high;
    if (rest.length > 0) return tooMuch(line, rest, 'put a remark after ` -- `');
  }
  for (const limit of limits) {
    const parts = partsOf(limit);
    const [amount, ...more] = parts;
    if (amount === undefined || amount.type !== 'amount' || amount.high !== undefined) {
      const span = amount ?? { start: limit.start, end: limit.wordEnd };
      return line.fail({
        start: span.start,
        end: span.end,
        code: 'amount-missing',
        message: `one figure stands after \`${limit.word}\``,
        help: `write it: \`${limit.word} ${exampleOf(analyte)}\``,
      });
    }
    const value = rate === undefined ? figureOf(line, analyte, amount)?.low : rate(amount);
    if (value === undefined) return undefined;
    const words = more.filter((part) => part.type === 'word').map((part) => part.text.toLowerCase());
    const paced = words.length === more.length && words.length === 2 && words[0] === 'a' && PACES.has(words[1] ?? '');
    if (rate === undefined ? more.length > 0 : !paced) {
      return rate === undefined
        ? tooMuch(line, more, 'put a remark after ` -- `')
        : line.fail({
            ...spanOf(parts, amount),
            code: 'phrase-missing',
            message: `how fast is missing after \`${sayPart(amount)}\``,
            help: `write \`${sayPart(amount)} a day\` or \`a week\``,
          });
    }
    if (limit.word === 'under') high = value;
    else low = value;
  }
  if (low === undefined && high === undefined) {
    return line.fail({
      start: where.start,
      end: where.end,
      code: 'phrase-missing',
      message: `the bounds of ${analyte.key} are missing`,
      help: `write \`${analyte.key} above ${exampleOf(analyte)}\`, \`under\`, or a range with \`..\``,
    });
  }
  if (low !== undefined && high !== undefined && low >= high) {
    return line.fail({
      start: where.start,
      end: where.end,
      code: 'amount-out-of-range',
      message: `no ${analyte.key} lies between these bounds`,
      help: 'write the lower figure first: `22..30 C`, or `above` the lower and `under` the higher',
    });
  }
  return {
    ...(low === undefined ? {} : { low }),
    ...(high === undefined ? {} : { high }),
    strict: first === undefined,
  };
}

function boundsHelp(line: Line, analyte: Analyte, first: Part): string {
  if (first.type === 'amount')
    return `write \`${analyte.key} above ${sayPart(first)}\`, \`${analyte.key} under ${sayPart(first)}\`, or a range with \`..\``;
  const word = first.text.toLowerCase();
  if (word === 'below' || word === 'less') return 'write `under`';
  if (word === 'more' || word === 'between') return word === 'more' ? 'write `above`' : 'write a range: `22..30 C`';
  const near = nearest(first.text, [
    'above',
    'under',
    'over',
    ...(line.entry.verb === 'warn' ? ['falling', 'rising'] : []),
  ]);
  return near === undefined
    ? `write \`${analyte.key} above ${exampleOf(analyte)}\`, \`under\`, or a range with \`..\``
    : `did you mean \`${near}\`?`;
}

/** How long a pace is told in: minutes by the word behind `a`. */
const PACES: ReadonlyMap<string, number> = new Map([
  ['hour', 60],
  ['day', 1440],
  ['week', 10_080],
]);

/** The minutes of the pace in the limits of a `warn`, a day where none is said. */
export function paceOf(limits: readonly Phrase[]): number {
  for (const limit of limits) {
    const last = partsOf(limit).at(-1);
    const minutes = last?.type === 'word' ? PACES.get(last.text.toLowerCase()) : undefined;
    if (minutes !== undefined) return minutes;
  }
  return 1440;
}

/** Minutes of a length of time; fails where it is none, or under an hour. */
export function minutesOf(line: Line, amount: Amount, example: string): number | undefined {
  const unit = amount.unit === undefined ? undefined : findUnit(amount.unit);
  if (unit?.dimension !== 'duration' || amount.high !== undefined || Number.isNaN(amount.value)) {
    return line.fail({
      start: amount.start,
      end: amount.end,
      code: amount.unit === undefined ? 'unit-missing' : 'unit-wrong-kind',
      message:
        amount.unit === undefined
          ? `${sayPart(amount)} has no unit`
          : amount.high === undefined
            ? `\`${sayPart(amount)}\` is no length of time`
            : `\`${sayPart(amount)}\` is more than one length of time`,
      help: `write it in \`days\`, \`weeks\` or \`h\`: \`${example}\``,
    });
  }
  const minutes = line.base(amount) / 60;
  if (minutes >= 60 && minutes <= 10 * 365 * 1440) return Math.round(minutes);
  return line.fail({
    start: amount.start,
    end: amount.end,
    code: 'amount-out-of-range',
    message: `\`${sayPart(amount)}\` is ${minutes < 60 ? 'less than an hour' : 'longer than any plan'}`,
    help: `write it in \`days\`, \`weeks\` or \`h\`: \`${example}\``,
  });
}

/** Shares of the sugar as they are said before `gone`. */
const SHARES: ReadonlyMap<string, number> = new Map([
  ['a quarter', 1 / 4],
  ['a third', 1 / 3],
  ['half', 1 / 2],
  ['two thirds', 2 / 3],
  ['three quarters', 3 / 4],
]);

const CONDITIONAL: ReadonlySet<LinkWord | ClauseWord> = new Set<LinkWord | ClauseWord>([
  'while',
  'when',
  'until',
  'after',
]);

/** The day a part names, or nothing where it names none. */
function dayOf(line: Line, part: Part): number | undefined {
  if (part.type !== 'date') return undefined;
  const day = parseDate(part.text);
  if (!Number.isNaN(day)) return day;
  return line.fail({
    start: part.start,
    end: part.end,
    code: 'date-impossible',
    message: `there is no day \`${part.text}\``,
    help: 'write a day that exists, as 2026-09-14',
  });
}

function isStage(word: string): word is StageWord {
  return (STAGE_WORDS as readonly string[]).includes(word);
}

/** `brix above 5`, `a third gone`, `wine`. */
function testOf(line: Line, phrase: Phrase, limits: readonly Phrase[]): Test | undefined {
  const parts = partsOf(phrase);
  const [first] = parts;
  const span = { start: phrase.start, end: phrase.wordEnd };
  if (first === undefined) {
    return line.fail({
      ...span,
      code: 'line-unfinished',
      message: `nothing stands after \`${phrase.word}\``,
      help: `write what it asks of the record: \`${phrase.word} brix above 5\`, \`${phrase.word} a third gone\``,
    });
  }
  const found = analyteAt(parts, 0);
  if (found !== undefined) {
    const bounds = boundsOf(line, found.analyte, parts.slice(found.next), limits, spanOf(parts, span));
    return bounds === undefined ? undefined : { kind: 'reading', analyte: found.analyte.key, bounds };
  }
  const [limit] = limits;
  const words = parts.map((part) => (part.type === 'word' ? part.text.toLowerCase() : '?')).join(' ');
  const share = words.endsWith(' gone') ? SHARES.get(words.slice(0, -' gone'.length)) : undefined;
  const test: Test | undefined =
    share !== undefined ? { kind: 'gone', share } : isStage(words) ? { kind: 'stage', stage: words } : undefined;
  if (test !== undefined && limit === undefined) return test;
  if (test !== undefined && limit !== undefined) {
    return line.fail({
      start: limit.start,
      end: limit.wordEnd,
      code: 'phrase-misplaced',
      message: `\`${limit.word}\` has nothing measured before it`,
      help: `write what is measured: \`${phrase.word} brix ${limit.word} 5\``,
    });
  }
  if (words.endsWith('gone')) {
    return line.fail({
      ...spanOf(parts, span),
      code: 'word-stray',
      message: `\`${words}\` is no share of the sugar`,
      help: `a share is one of ${[...SHARES.keys()].map((said) => `\`${said} gone\``).join(', ')}`,
    });
  }
  const stage = parts.length === 1 && first.type === 'word' ? nearest(first.text, STAGE_WORDS) : undefined;
  if (stage !== undefined && limit === undefined) {
    return line.fail({
      ...spanOf(parts, span),
      code: 'word-stray',
      message: `\`${words}\` is no condition`,
      help: `did you mean \`${stage}\`?`,
    });
  }
  return unknownAnalyte(
    line,
    first,
    `${sayPart(first)} stands there without what is measured`,
    `write what is measured, a share of the sugar or a stage: \`${phrase.word} brix above 5\`, \`${phrase.word} a third gone\`, \`${phrase.word} wine\``,
  );
}

/** The conditions among phrases, with the bounds that follow each; the phrases they do not use are given back. */
export function conditionsOf(line: Line, phrases: readonly Phrase[]): Condition[] | undefined {
  const conditions: Condition[] = [];
  for (let i = 0; i < phrases.length; i++) {
    const phrase = phrases[i];
    if (phrase === undefined || !CONDITIONAL.has(phrase.word)) continue;
    const limits = limitsFrom(phrases, i + 1);
    const parts = partsOf(phrase);
    const [first, ...rest] = parts;
    if (phrase.word === 'after' || (phrase.word === 'until' && first?.type === 'date')) {
      const [limit] = limits;
      if (first === undefined || (first.type !== 'amount' && first.type !== 'date')) {
        const span = spanOf(parts, { start: phrase.start, end: phrase.wordEnd });
        return line.fail({
          ...span,
          code: 'amount-missing',
          message: '`after` is followed by a length of time or a day',
          help: 'write `after 3 days`; what waits for a reading says `when`: `when brix under 5`',
        });
      }
      if (rest.length > 0) return tooMuch(line, rest, 'put a remark after ` -- `');
      if (limit !== undefined) return tooMuchLimit(line, limit);
      const day = dayOf(line, first);
      if (day !== undefined) conditions.push({ word: phrase.word, day });
      else if (first.type === 'amount') {
        const minutes = minutesOf(line, first, 'after 3 days');
        if (minutes !== undefined) conditions.push({ word: 'after', minutes });
      }
    } else if (phrase.word === 'while' || phrase.word === 'when' || phrase.word === 'until') {
      const test = testOf(line, phrase, limits);
      if (test !== undefined) conditions.push({ word: phrase.word, test });
    }
    if (line.failure !== undefined) return undefined;
  }
  return conditions;
}

function tooMuchLimit(line: Line, limit: Phrase): undefined {
  return line.fail({
    start: limit.start,
    end: limit.wordEnd,
    code: 'phrase-misplaced',
    message: `\`${limit.word}\` has nothing measured before it`,
    help: `write what is measured: \`while brix ${limit.word} 5\``,
  });
}
