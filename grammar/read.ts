/** Reads one line: text in, what it says and what is to be said about it out. Pure, so that equal lines are read once. */
import { type IToken, MismatchedTokenException } from 'chevrotain';
import { CONTROL, UNUSUAL, usualCharacters } from './characters.ts';
import { formatDate, MONTHS, parseDate, parseTime, WEEKDAYS, weekday } from './dates.ts';
import type { Broken, Entry, Line, Problem, ReadLine, Span, When, Word } from './entries.ts';
import { fitEntry } from './fit.ts';
import { type Fixes, instead, insteadIf } from './fixes.ts';
import { parser, type RawEntry } from './parser.ts';
import { readPlainRow } from './plain-row.ts';
import { nearest } from './suggest.ts';
import {
  ClauseToken,
  CloseToken,
  CommaNumberToken,
  CommaToken,
  CrossToken,
  cut,
  DashToken,
  DateToken,
  DotDotToken,
  endOf,
  isReserved,
  isTagged,
  LinkToken,
  NumberToken,
  OpenToken,
  StringToken,
  StruckToken,
  TimeToken,
  UnitToken,
  VerbToken,
  WordToken,
} from './tokens.ts';
import { CODE_WORDS, SPELLINGS, VERBS } from './words.ts';

/** Longer than any line a person writes; beyond it only the beginning is kept for the finding. */
export const LONGEST_LINE = 20_000;

const BLANK_LINE: ReadLine = { line: { type: 'blank' }, problems: [] };
const NO_PROBLEMS: readonly Problem[] = [];

const asWord = (token: IToken): Word => ({
  type: token.tokenType === StringToken ? 'string' : 'word',
  text: token.tokenType === StringToken ? token.image.slice(1, -1) : token.image,
  start: token.startOffset,
  end: endOf(token),
});

/** The names a line that could not be read may have touched; ranges are kept whole. */
function wordsOf(tokens: readonly IToken[]): Word[] {
  const words: Word[] = [];
  for (let i = 0; i < tokens.length; i++) {
    const token = tokens[i] as IToken;
    const type = token.tokenType;
    if (type !== WordToken && type !== StringToken && type !== UnitToken) continue;
    const to = tokens[i + 1]?.tokenType === DotDotToken ? tokens[i + 2] : undefined;
    if (to !== undefined && to.tokenType === WordToken) {
      words.push({ ...asWord(token), to: to.image, end: endOf(to) });
      i += 2;
    } else words.push(asWord(token));
  }
  return words;
}

/** The last of the times a line begins with. */
function lastTime(tokens: readonly IToken[]): number | undefined {
  let minute: number | undefined;
  for (const token of tokens) {
    if (token.tokenType === CommaToken) continue;
    if (token.tokenType !== TimeToken) break;
    const time = parseTime(token.image);
    if (!Number.isNaN(time)) minute = time;
  }
  return minute;
}

const broken = (problems: Problem[], tokens: readonly IToken[] = []): ReadLine => {
  const verb = tokens.find((token) => token.tokenType === VerbToken)?.image.toLowerCase();
  const known = VERBS.find((word) => word === (SPELLINGS[verb ?? ''] ?? verb));
  const minute = lastTime(tokens);
  const line: Broken = {
    type: 'broken',
    words: wordsOf(tokens),
    ...(known === undefined ? {} : { verb: known }),
    ...(minute === undefined ? {} : { minute }),
  };
  return { line, problems };
};

const at = (token: IToken): Span => ({ start: token.startOffset, end: endOf(token) });

const clip = (text: string): string => (text.length > 40 ? `${text.slice(0, 37)}...` : text);

interface OtherDate {
  readonly problem: Problem;
  /** The day it must mean, where it can mean one only. */
  readonly meant?: number;
}

/** The date someone meant by `14/09/2026` or `9-14-2026`. */
function otherDate(text: string): OtherDate | undefined {
  const match = /^\s*(?:(\d{1,2})([./-])(\d{1,2})\2(\d{4}|\d{2})|(\d{4})([./])(\d{1,2})\6(\d{1,2}))(?![\d.:/])/.exec(
    text,
  );
  if (match === null) return inWords(text);
  const start = text.length - text.trimStart().length;
  const span = { start, end: start + match[0].trim().length };
  const pad = (part: string | undefined): string => (part ?? '').padStart(2, '0');
  const year = match[4]?.length === 2 ? `20${match[4]}` : match[4];
  const readings =
    match[5] === undefined
      ? [`${year}-${pad(match[3])}-${pad(match[1])}`, `${year}-${pad(match[1])}-${pad(match[3])}`]
      : [`${match[5]}-${pad(match[7])}-${pad(match[8])}`];
  return dateOrder(span, match[0].trim(), readings);
}

function dateOrder(span: Span, written: string, readings: readonly string[]): OtherDate {
  const possible = [...new Set(readings)].filter((reading) => !Number.isNaN(parseDate(reading)));
  const [only] = possible;
  return {
    ...(possible.length === 1 && only !== undefined ? { meant: parseDate(only) } : {}),
    problem: {
      ...span,
      code: 'date-order',
      message: `\`${written}\` is not how a day is written here: year, month, day`,
      help:
        possible.length === 0 ? 'write a day as 2026-09-14' : `write ${possible.map((p) => `\`${p}\``).join(' or ')}`,
      ...(possible.length === 0 ? {} : instead(span, ...possible)),
    },
  };
}

/** `4 November 2026`. */
function inWords(text: string): OtherDate | undefined {
  const match = /^\s*(\d{1,2})\.? ([A-Za-z]{3,9})\.?,? (\d{4})(?!\d)/.exec(text);
  const month = MONTHS.findIndex(
    (name) => match !== null && name.toLowerCase().startsWith(match[2]?.toLowerCase() ?? ' '),
  );
  if (match === null || month === -1) return undefined;
  const start = text.length - text.trimStart().length;
  const pad = (part: string): string => part.padStart(2, '0');
  return dateOrder({ start, end: match[0].length }, match[0].trim(), [
    `${match[3]}-${pad(String(month + 1))}-${pad(match[1] ?? '')}`,
  ]);
}

function commaNumber(token: IToken): Problem {
  const [whole, ...rest] = token.image.split(',');
  const joined = [whole, ...rest].join('');
  const point = rest.length === 1 && rest[0]?.includes('.') === false ? `${whole}.${rest[0]}` : undefined;
  const thousands = rest.every((group) => group.replace(/\..*/, '').length === 3);
  return {
    ...at(token),
    code: 'decimal-comma',
    message: thousands
      ? `\`${token.image}\` can be read as ${joined}${point === undefined ? '' : ` or as ${point}`}`
      : `\`${token.image}\` has a comma inside a number: ${point ?? joined}?`,
    help: thousands
      ? `write \`${joined}\`${point === undefined ? ' without the comma' : ` for the thousands, \`${point}\` for the decimal`}; two numbers need a blank after the comma`
      : `write \`${point ?? joined}\` with a point; two numbers need a blank after the comma`,
    ...instead(
      at(token),
      ...(thousands ? [joined] : []),
      ...(point === undefined ? (thousands ? [] : [joined]) : [point]),
    ),
  };
}

/** What to say of a character the lexer has no token for. */
function strayCharacter(text: string, offset: number): Problem {
  const c = String.fromCodePoint(text.codePointAt(offset) ?? 32);
  const span = { start: offset, end: offset + c.length };
  if (c === '"') {
    return {
      start: offset,
      end: text.trimEnd().length,
      code: 'quote-unclosed',
      message: `the quote at ${clip(text.slice(offset).trimEnd())} is never closed`,
      help: 'close it with `"` before the end of the line',
    };
  }
  if (c === '–' || c === '—' || c === '‒' || c === '―') {
    const before = /[\p{L}\p{N}_/.-]+$/u.exec(text.slice(0, offset))?.[0] ?? '';
    const after = /^[\p{L}\p{N}_/.-]+/u.exec(text.slice(offset + 1))?.[0] ?? '';
    return {
      ...span,
      code: 'dash-for-range',
      message: `a dash stands in \`${before}${c}${after}\``,
      help: `write \`${before}..${after}\` for a range; a remark begins with \` -- \``,
      ...(before === '' || after === '' ? {} : instead(span, '..')),
    };
  }
  const after = text.slice(offset + c.length);
  return {
    ...span,
    code: 'stray-character',
    message: c === '`' ? 'a backquote has no place here' : `\`${c}\` has no place here`,
    help: insteadOf(c, after),
    ...strayFix(c, span, text),
  };
}

/** What certainly stands instead of a stray character. */
function strayFix(c: string, span: Span, text: string): Fixes | object {
  const after = text.charAt(span.end);
  if (c === '.' && /^(\s|$)/.test(after)) return instead(span, '');
  if (c === '=' || c === ':') return instead(span, after === ' ' || text.charAt(span.start - 1) === ' ' ? '' : ' ');
  const arrow = c === '→' ? span : c === '-' && after === '>' ? { start: span.start, end: span.end + 1 } : undefined;
  if (arrow === undefined) return {};
  const blank = (side: string): string => (side === ' ' || side === '' ? '' : ' ');
  return instead(arrow, `${blank(text.charAt(arrow.start - 1))}to${blank(text.charAt(arrow.end))}`);
}

/** What to write instead of a character people bring along from elsewhere. */
function insteadOf(c: string, after: string): string {
  const ends = /^(\s|$)/.test(after);
  switch (c) {
    case "'":
    case '`':
    case '‘':
    case '’':
      return 'names and texts stand in double quotes';
    case '.':
      return ends ? 'take the full stop away' : 'a decimal point stands between digits; text stands in double quotes';
    case ';':
    case '&':
    case '+':
      return 'a comma stands between equal things; another work stands on a line of its own';
    case '=':
    case ':':
      return 'take it away: the figure stands right after the word';
    case '→':
      return 'write `to`';
    case '/':
    case '\\':
    case '*':
      return after.startsWith(c)
        ? 'a comment begins with `#`, a remark with ` -- `'
        : 'a name with such a character stands in double quotes; a remark begins with ` -- `';
    case '-':
      if (after.startsWith('>')) return 'write `to`';
      if (after.startsWith('-')) return 'a comment begins with `#`; a remark begins with ` -- `, blanks on both sides';
  }
  return 'a name with such a character stands in double quotes; a remark begins with ` -- `';
}

/** One finding in our own words for a line the grammar could not take. */
function explain(tokens: readonly IToken[], failed: IToken | undefined, text: string): Problem {
  const last = tokens[tokens.length - 1];
  const stuck =
    failed !== undefined && !Number.isNaN(failed.startOffset) && failed.startOffset >= 0 ? failed : undefined;
  if (stuck === undefined) {
    const where = last === undefined ? { start: 0, end: text.length } : at(last);
    if (last?.tokenType === CommaToken) {
      return {
        ...where,
        code: 'line-unfinished',
        message: 'the line ends in a comma and nothing follows',
        help: 'finish the line, or take the comma away',
        ...instead(where, ''),
      };
    }
    if (last?.tokenType === DotDotToken) {
      return {
        ...where,
        code: 'range-broken',
        message: 'the range has no end',
        help: 'write both ends: `B1..B15`, or `22..30 C`',
      };
    }
    if (last?.tokenType === TimeToken) {
      return {
        ...where,
        code: 'line-unfinished',
        message: 'a time, and nothing was done',
        help: 'write what was done after the time: `07:40 punch-down LS`',
      };
    }
    return {
      ...where,
      code: 'line-unfinished',
      message: `something is missing after \`${last?.image ?? ''}\``,
      help: 'finish the line',
    };
  }
  const index = tokens.indexOf(stuck);
  const before = tokens[index - 1];
  const span = at(stuck);
  const type = stuck.tokenType;
  if (type === TimeToken) {
    return {
      ...span,
      code: 'line-malformed',
      message: `the time \`${stuck.image}\` stands in the middle of the line`,
      help: 'times stand before the verb; several are separated by commas',
    };
  }
  const open = tokens.findLastIndex((token, i) => i < index && token.tokenType === OpenToken);
  if (open !== -1 && !tokens.slice(open).some((token) => token.tokenType === CloseToken)) {
    return {
      ...at(tokens[open] as IToken),
      code: 'line-malformed',
      message: 'the bracket is never closed',
      help: 'close it with `)` behind the figure: `57 g (40 mg/L SO2)`',
    };
  }
  const time = index === 0 ? loosePoint(stuck.image) : undefined;
  if (time !== undefined && type === NumberToken) {
    return {
      ...span,
      code: 'time-impossible',
      message: `\`${stuck.image}\` is not how a time is written`,
      help: `write \`${time}\``,
      ...instead(span, time),
    };
  }
  if (type === DashToken) {
    return {
      ...span,
      code: 'line-malformed',
      message: 'a single dash has no place here',
      help: 'a remark begins with ` -- `: two dashes, blanks on both sides',
    };
  }
  if (before?.tokenType === DotDotToken || type === DotDotToken) {
    const start = before?.tokenType === DotDotToken ? tokens[index - 2] : undefined;
    const prefix = start?.tokenType === WordToken ? /^(.*?)\d+$/.exec(start.image)?.[1] : undefined;
    if (start !== undefined && prefix !== undefined && type === NumberToken) {
      return {
        start: start.startOffset,
        end: span.end,
        code: 'range-broken',
        message: `\`${stuck.image}\` is half a name`,
        help: `write both ends in full: \`${start.image}..${prefix}${stuck.image}\``,
        ...instead(span, prefix + stuck.image),
      };
    }
    return {
      ...span,
      code: 'range-broken',
      message: 'a range needs a name or a number on both sides of `..`',
      help: 'write `B1..B15`, or `22..30 C`',
    };
  }
  if (type === UnitToken) {
    return {
      ...span,
      code: 'amount-missing',
      message: `\`${stuck.image}\` is a unit, and no number stands before it`,
      help: `write the number first: \`12 ${stuck.image}\``,
    };
  }
  if (type === CommaToken) {
    return { ...span, code: 'line-malformed', message: 'a comma too many', help: 'take it away', ...instead(span, '') };
  }
  if (type === CrossToken) {
    return {
      ...span,
      code: 'line-malformed',
      message: '`x` stands between a number of bottles and their size',
      help: 'write `820 x 750 mL`',
    };
  }
  if (type === StruckToken || type === VerbToken) {
    return {
      ...span,
      code: 'line-malformed',
      message: `\`${stuck.image}\` stands before the verb, once`,
      help: 'write `struck` first, then the verb',
    };
  }
  if (type === DateToken) {
    return {
      ...span,
      code: 'line-malformed',
      message: `the day \`${stuck.image}\` has no place here`,
      help: 'a day stands on a line of its own, above its entries',
    };
  }
  return {
    ...span,
    code: 'line-malformed',
    message: `\`${stuck.image}\` does not fit ${before === undefined ? 'at the beginning of a line' : `after \`${before.image}\``}`,
    help: 'a line reads: time, verb, what, then `to`, `from`, `as` ... with commas between equal things',
  };
}

/** The time meant by `7.40`, `0740` or `740`. */
function loosePoint(image: string): string | undefined {
  const match = /^(\d{1,2})[.](\d{2})$/.exec(image) ?? /^(\d{1,2})(\d{2})$/.exec(image);
  if (match === null) return undefined;
  const time = `${(match[1] ?? '').padStart(2, '0')}:${match[2] ?? ''}`;
  return Number.isNaN(parseTime(time)) ? undefined : time;
}

/** The verb that stands later in the line, be it in the past tense: `T1 racked to T2`. */
function laterVerb(tokens: readonly IToken[]): string | undefined {
  for (const token of tokens.slice(1)) {
    if (token.tokenType !== WordToken) continue;
    const lower = token.image.toLowerCase();
    const verb = VERBS.find((known) => known === lower || `${known}ed` === lower || `${known}d` === lower);
    if (verb !== undefined) return verb;
  }
  return undefined;
}

function unknownVerb(token: IToken, timed: boolean, next?: IToken, tokens: readonly IToken[] = []): Problem {
  // `punch down` is a verb in two words
  const joined = next === undefined ? undefined : `${token.image}-${next.image}`.toLowerCase();
  const near = VERBS.find((verb) => verb === joined) ?? nearest(token.image, VERBS);
  return {
    ...at(token),
    code: 'verb-unknown',
    message: timed
      ? `\`${token.image}\` is not a verb`
      : `\`${token.image}\` is neither a verb nor a row of a table above`,
    help: near === undefined ? verbFirst(token, tokens) : `did you mean \`${near}\`?`,
    ...insteadIf(
      near === joined && next !== undefined ? { start: token.startOffset, end: endOf(next) } : at(token),
      near,
    ),
  };
}

function verbFirst(token: IToken, tokens: readonly IToken[]): string {
  const later = laterVerb(tokens.slice(tokens.indexOf(token)));
  return later === undefined
    ? 'begin the line with a verb, such as `rack`, `add`, `reading`'
    : `the verb stands first: \`${later} ${token.image} ...\``;
}

/** A number glued to letters that are no unit: a name that begins with a digit. */
function gluedName(tokens: readonly IToken[]): Problem | undefined {
  for (let i = 0; i + 1 < tokens.length; i++) {
    const number = tokens[i] as IToken;
    const word = tokens[i + 1] as IToken;
    if (number.tokenType !== NumberToken || word.tokenType !== WordToken || endOf(number) !== word.startOffset)
      continue;
    if (number.image.includes('.') || /^[-+]/.test(number.image)) continue;
    // `225Lt` is a unit misspelt; `26SY-01` is a name
    if (!/[-_/\d]/.test(word.image) && word.image.length > 2) continue;
    if (/^[a-zµ]{1,2}$/i.test(word.image)) continue;
    const name = number.image + word.image;
    const power = /^(\d+)e(\d{1,2})$/i.exec(name);
    if (power !== null) {
      return {
        start: number.startOffset,
        end: endOf(word),
        code: 'number-malformed',
        message: `\`${name}\` has an exponent`,
        help: `write the number in full: \`${power[1]}${'0'.repeat(Number(power[2]))}\``,
        ...instead({ start: number.startOffset, end: endOf(word) }, `${power[1]}${'0'.repeat(Number(power[2]))}`),
      };
    }
    const hour = i === 0 ? /^(\d{1,2})h(\d{2})$/i.exec(name) : null;
    if (hour !== null) {
      return {
        start: number.startOffset,
        end: endOf(word),
        code: 'time-impossible',
        message: `\`${name}\` is not how a time is written`,
        help: `write \`${(hour[1] ?? '').padStart(2, '0')}:${hour[2]}\``,
        ...instead({ start: number.startOffset, end: endOf(word) }, `${(hour[1] ?? '').padStart(2, '0')}:${hour[2]}`),
      };
    }
    return {
      start: number.startOffset,
      end: endOf(word),
      code: 'name-starts-with-digit',
      message: `\`${name}\` begins with a digit`,
      help: `write \`"${name}"\` in quotes`,
      ...instead({ start: number.startOffset, end: endOf(word) }, `"${name}"`),
    };
  }
  return undefined;
}

/** `1.000.5` or `.5`: digits and points that make no number. */
function brokenNumber(text: string, offset: number): Problem | undefined {
  if (!/^[-+.,]?\d/.test(text.slice(offset))) return undefined;
  const start = offset - (/[\d.,]*$/.exec(text.slice(0, offset))?.[0].length ?? 0);
  const image = /^[-+]?[\d.,]+/.exec(text.slice(start))?.[0] ?? text.charAt(offset);
  const point = image.lastIndexOf('.');
  const meant = `${image.slice(0, point).replace(/[.,]/g, '') || '0'}${image.slice(point)}`;
  return {
    start,
    end: start + image.length,
    code: 'number-malformed',
    message: `\`${image}\` is not a number`,
    help: point === -1 ? 'write a number with one decimal point: `24.6`' : `write it with one point: \`${meant}\``,
    ...(point === -1 || !/^\d+\.\d+$/.test(meant) ? {} : instead({ start, end: start + image.length }, meant)),
  };
}

/** A day whose line has more on it than can be cut into words: the day itself still holds. */
function spoiledDay(
  tokens: readonly IToken[],
  text: string,
  offset: number | undefined,
  problems: Problem[],
): ReadLine {
  const comma = tokens.find((token) => token.tokenType === CommaNumberToken);
  const problem =
    offset === undefined
      ? comma === undefined
        ? explain(tokens, undefined, text)
        : commaNumber(comma)
      : (brokenNumber(text, offset) ?? strayCharacter(text, offset));
  const image = tokens[0]?.image ?? '';
  return { line: { type: 'day', day: parseDate(image), text: image }, problems: [...problems, problem] };
}

function readDay(tokens: readonly IToken[], text: string, problems: Problem[]): ReadLine {
  parser.input = tokens as IToken[];
  const raw = parser.day();
  const error = parser.errors[0];
  if (error !== undefined) {
    const stuck = error.token;
    const known = tokens[0];
    const day = known === undefined ? Number.NaN : parseDate(known.image);
    problems.push(
      stuck !== undefined && !Number.isNaN(stuck.startOffset)
        ? {
            start: stuck.startOffset,
            end: text.trimEnd().length,
            code: 'line-malformed',
            message: `\`${clip(text.slice(stuck.startOffset).trim())}\` stands on the line of a day`,
            help: 'write the day alone, with its weekday; entries stand on the lines below, remarks after ` -- `',
          }
        : explain(tokens, undefined, text),
    );
    return { line: { type: 'day', day, text: known?.image ?? '' }, problems };
  }
  const day = parseDate(raw.date.image);
  let meant: number | undefined;
  if (Number.isNaN(day)) {
    const loose = /^(\d{4})-(\d{1,2})-(\d{1,2})$/.exec(raw.date.image);
    const padded =
      loose === null ? '' : `${loose[1]}-${(loose[2] ?? '').padStart(2, '0')}-${(loose[3] ?? '').padStart(2, '0')}`;
    if (!Number.isNaN(parseDate(padded))) meant = parseDate(padded);
    problems.push({
      ...at(raw.date),
      code: 'date-impossible',
      message: `there is no day \`${raw.date.image}\``,
      help:
        padded !== raw.date.image && !Number.isNaN(parseDate(padded))
          ? `write \`${padded}\``
          : 'write a day that exists, as 2026-09-14',
      ...(meant === undefined ? {} : instead(at(raw.date), padded)),
    });
  } else if (raw.weekday !== undefined) {
    const said = raw.weekday.image.slice(0, 3).toLowerCase();
    const is = weekday(day);
    if (said !== is.toLowerCase()) {
      const isWeekday = WEEKDAYS.some((name) => name.toLowerCase() === said);
      problems.push({
        ...at(raw.weekday),
        code: isWeekday ? 'weekday-wrong' : 'word-stray',
        message: isWeekday
          ? `${formatDate(day)} is a ${is}, not a ${raw.weekday.image}`
          : `\`${raw.weekday.image}\` is no weekday; ${formatDate(day)} is a ${is}`,
        help: `write \`${formatDate(day)} ${is}\`, or mend the date`,
        ...instead(at(raw.weekday), is),
      });
    }
  }
  const remark = raw.remark === undefined ? undefined : remarkText(text, raw.remark);
  const line: Line = {
    type: 'day',
    day,
    text: raw.date.image,
    ...(meant === undefined ? {} : { meant }),
    ...(remark === undefined ? {} : { remark }),
  };
  return { line, problems };
}

function remarkText(text: string, token: IToken): string {
  return text.slice(token.startOffset, endOf(token)).replace(/^(--|—)\s*/, '');
}

function readWhen(when: NonNullable<RawEntry['when']>, problems: Problem[]): When | undefined {
  const only = when.until === undefined && when.times.length === 1 ? when.times[0] : undefined;
  if (only !== undefined) {
    const minute = parseTime(only.image);
    if (!Number.isNaN(minute)) return { start: only.startOffset, end: endOf(only), minutes: [minute] };
  }
  const minutes: number[] = [];
  for (const token of when.until === undefined ? when.times : [...when.times, when.until]) {
    const minute = parseTime(token.image);
    if (Number.isNaN(minute)) {
      problems.push({
        ...at(token),
        code: 'time-impossible',
        message: `there is no time \`${token.image}\``,
        help: 'write hours and minutes from 00:00 to 23:59; `+00:40` is the next morning',
      });
      return undefined;
    }
    minutes.push(minute);
  }
  const first = when.times[0] as IToken;
  const last = when.until ?? (when.times[when.times.length - 1] as IToken);
  const span = { start: first.startOffset, end: endOf(last) };
  if (when.until === undefined) return { ...span, minutes };
  const from = minutes[0] ?? 0;
  const until = minutes[1] ?? 0;
  if (until < from) {
    problems.push({
      ...span,
      code: 'time-impossible',
      message: `${first.image}..${last.image} ends before it begins`,
      help: `write \`${first.image}..+${last.image.replace('+', '')}\` if it ended the next morning`,
      ...(last.image.startsWith('+') ? {} : instead(at(last), `+${last.image}`)),
    });
    return undefined;
  }
  return { ...span, minutes: [from], until };
}

/**
 * Reads a line, or several joined by a comma at the end. Notes are not lines of this kind.
 * A line that cannot be read comes back as broken, with one problem that says why; nothing throws.
 */
export function readLine(text: string): ReadLine {
  return readShortWay(text) ?? readByGrammar(text);
}

/** A row of figures by the short way; undefined where only the grammar can tell. */
export function readShortWay(text: string): ReadLine | undefined {
  if (text.length > 200) return undefined;
  const row = readPlainRow(text, cannotOpenRow);
  return row === undefined ? undefined : { line: row, problems: NO_PROBLEMS };
}

function cannotOpenRow(word: string): boolean {
  const lower = word.toLowerCase();
  return isTagged(lower) || CODE_WORDS.includes(lower) || lower === 'struck' || lower === 'now';
}

/** As `readLine`, by the grammar alone. */
export function readByGrammar(text: string): ReadLine {
  if (text.length > LONGEST_LINE) {
    return broken([
      {
        start: 0,
        end: 1,
        code: 'line-too-long',
        message: `the line has ${text.length} characters; no more than ${LONGEST_LINE} are read`,
        help: 'break it up; a long text belongs in a note, in lines that begin with `|`',
      },
    ]);
  }
  let problems: Problem[] | undefined;
  let plain = text;
  if (UNUSUAL.test(text)) {
    const control = CONTROL.exec(text);
    if (control !== null) {
      return broken([
        {
          start: control.index,
          end: control.index + 1,
          code: 'binary-bytes',
          message: `a byte that is not text (U+${text.charCodeAt(control.index).toString(16).toUpperCase().padStart(4, '0')})`,
          help: 'take it out; a journal is plain UTF-8 text',
        },
      ]);
    }
    const usual = usualCharacters(text);
    plain = usual.text;
    problems = usual.problems;
  }
  const { tokens, bad } = cut(plain);
  const first = tokens[0];
  if (first === undefined && bad.length === 0)
    return problems === undefined ? BLANK_LINE : { line: BLANK_LINE.line, problems };
  const otherwise = /^\s*\d/.test(plain) ? otherDate(plain) : undefined;
  if (otherwise !== undefined)
    return {
      line: {
        type: 'day',
        day: Number.NaN,
        text: '',
        ...(otherwise.meant === undefined ? {} : { meant: otherwise.meant }),
      },
      problems: [...(problems ?? []), otherwise.problem],
    };
  if (first?.tokenType === DateToken) {
    const problem = bad.length > 0 || tokens.some((token) => token.tokenType === CommaNumberToken);
    return problem ? spoiledDay(tokens, plain, bad[0]?.offset, problems ?? []) : readDay(tokens, plain, problems ?? []);
  }
  const glued = tokens.some((token) => token.tokenType === NumberToken) ? gluedName(tokens) : undefined;
  if (glued !== undefined && !bad.some((stray) => stray.offset < glued.start)) {
    const read = broken([...(problems ?? []), glued], tokens);
    if (read.line.type !== 'broken') return read;
    // what is meant is the whole name, quotes or not
    const meant: Word = { type: 'word', text: plain.slice(glued.start, glued.end), start: glued.start, end: glued.end };
    return { ...read, line: { ...read.line, words: [...read.line.words, meant] } };
  }
  if (bad.length > 0) {
    // a sentence is no row: its first word tells that it is not of this language
    if (first?.tokenType === WordToken && nearest(first.image, VERBS) !== undefined)
      return broken([...(problems ?? []), unknownVerb(first, false, tokens[1], tokens)], tokens);
    const offset = bad[0]?.offset ?? 0;
    return broken([...(problems ?? []), brokenNumber(plain, offset) ?? strayCharacter(plain, offset)], tokens);
  }
  for (const token of tokens) {
    if (token.tokenType === CommaNumberToken) return broken([...(problems ?? []), commaNumber(token)], tokens);
  }
  if (first === undefined) return { line: BLANK_LINE.line, problems: problems ?? [] };
  if (first.tokenType === VerbToken || first.tokenType === TimeToken || first.tokenType === StruckToken) {
    return readEntry(tokens, text, problems);
  }
  if (first.tokenType === WordToken || first.tokenType === StringToken) return readRow(tokens, text, problems);
  if (first.tokenType === LinkToken || first.tokenType === ClauseToken) {
    return broken(
      [
        ...(problems ?? []),
        {
          ...at(first),
          code: 'line-malformed',
          message: `\`${first.image}\` cannot begin a line`,
          help: 'a line that goes on needs a comma at the end of the line above; else begin with a verb',
        },
      ],
      tokens,
    );
  }
  return broken([...(problems ?? []), explain(tokens, first, plain)], tokens);
}

/** `2:30pm`: hours run to 24 here. */
function afterNoon(time: IToken, half: IToken): Problem {
  const [hours = '0', minutes = '00'] = time.image.split(':');
  const hour = (Number(hours) % 12) + (/^p/i.test(half.image) ? 12 : 0);
  return {
    start: time.startOffset,
    end: endOf(half),
    code: 'time-impossible',
    message: `\`${time.image} ${half.image}\` is not how a time is written; hours run from 00 to 23`,
    help: `write \`${String(hour).padStart(2, '0')}:${minutes}\``,
    ...instead({ start: time.startOffset, end: endOf(half) }, `${String(hour).padStart(2, '0')}:${minutes}`),
  };
}

function readEntry(tokens: IToken[], text: string, before: Problem[] | undefined): ReadLine {
  // the verb must be one before the shape of the rest is worth judging
  const opener = tokens.find(
    (token) =>
      token.tokenType !== TimeToken &&
      token.tokenType !== CommaToken &&
      token.tokenType !== DotDotToken &&
      token.tokenType !== StruckToken,
  );
  if (
    opener !== undefined &&
    opener.tokenType !== VerbToken &&
    (opener.tokenType === WordToken || opener.tokenType === StringToken)
  ) {
    const time = tokens[tokens.indexOf(opener) - 1];
    const noon = /^[ap]\.?m\.?$/i.test(opener.image) && time?.tokenType === TimeToken ? time : undefined;
    if (noon !== undefined) return broken([...(before ?? []), afterNoon(noon, opener)], tokens);
    return broken([...(before ?? []), unknownVerb(opener, true, tokens[tokens.indexOf(opener) + 1], tokens)], tokens);
  }
  const late = tokens.findIndex((token) => token.tokenType === WordToken && token.image.toLowerCase() === 'struck');
  if (late > 0) {
    return broken(
      [
        ...(before ?? []),
        {
          ...at(tokens[late] as IToken),
          code: 'line-malformed',
          message: '`struck` stands before the verb',
          help: `write \`struck ${opener?.image ?? 'rack'} ...\``,
        },
      ],
      tokens,
    );
  }
  parser.input = tokens;
  const raw = parser.entry();
  const error = parser.errors[0];
  if (error !== undefined) {
    const stuck = error instanceof MismatchedTokenException || error.token !== undefined ? error.token : undefined;
    return broken([...(before ?? []), explain(tokens, stuck, text)], tokens);
  }
  let problems = before;
  const entry: { -readonly [K in keyof Entry]: Entry[K] } = {
    type: 'entry',
    struck: raw.struck,
    verb: raw.verb,
    verbSpan: at(raw.verbToken),
    head: raw.head,
    phrases: raw.phrases,
  };
  if (raw.when !== undefined) {
    const found: Problem[] = [];
    const when = readWhen(raw.when, found);
    if (when === undefined) return broken([...(problems ?? []), ...found], tokens);
    entry.when = when;
  }
  if (raw.remark !== undefined) entry.remark = remarkText(text, raw.remark);
  const misfits = fitEntry(entry);
  if (misfits.length > 0) {
    if (misfits.some((problem) => problem.code !== 'odd-character')) {
      return broken([...(problems ?? []), misfits[0] as Problem], tokens);
    }
    problems = [...(problems ?? []), ...misfits];
  }
  return { line: entry, problems: problems ?? NO_PROBLEMS };
}

function readRow(tokens: IToken[], text: string, before: Problem[] | undefined): ReadLine {
  parser.input = tokens;
  const raw = parser.row();
  const error = parser.errors[0];
  if (error !== undefined) {
    const first = tokens[0] as IToken;
    const links = tokens.some((token) => token.tokenType === LinkToken || token.tokenType === ClauseToken);
    const problem =
      links || nearest(first.image, VERBS) !== undefined
        ? unknownVerb(first, false, tokens[1], tokens)
        : explain(tokens, error.token, text);
    return broken([...(before ?? []), problem], tokens);
  }
  const remark = raw.remark === undefined ? undefined : remarkText(text, raw.remark);
  return {
    line: { type: 'row', name: raw.name, cells: raw.cells, ...(remark === undefined ? {} : { remark }) },
    problems: before ?? NO_PROBLEMS,
  };
}

/** Whether a name may be given: not a reserved word, not one that opens a code. */
export const mayBeName = (name: string): boolean => {
  const lower = name.toLowerCase();
  return !isReserved(lower) && !CODE_WORDS.includes(lower);
};
