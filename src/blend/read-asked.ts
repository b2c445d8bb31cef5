/** Reads what is asked of a blend, as a person types it, into figures; what does not fit is said in plain words. */
import { findAnalyte } from '../../grammar/analytes.ts';
import { nearest } from '../../grammar/suggest.ts';
import { findUnit } from '../../grammar/units.ts';
import { fold } from '../../grammar/words.ts';
import type { Book } from '../cellar/book.ts';
import type { Origin } from '../journal/register.ts';
import { inUnit } from '../trade/convert.ts';
import { findVariety } from '../trade/varieties.ts';
import { isRefused, type Refused, refuse, type Worked } from '../trade/worked.ts';
import type { Aim, Asked, Bounds, Keep, Limit, ShareAsked } from './asked.ts';
import type { Typed } from './available.ts';
import { byVolume } from './by-volume.ts';

/** The words of a question, each as it was typed. */
export interface Words {
  readonly make?: string | undefined;
  readonly lees?: string | undefined;
  readonly loss?: string | undefined;
  readonly step?: string | undefined;
  readonly from?: readonly string[] | undefined;
  readonly limit?: readonly string[] | undefined;
  readonly whole?: readonly string[] | undefined;
  readonly keep?: readonly string[] | undefined;
  readonly share?: readonly string[] | undefined;
  readonly reading?: readonly string[] | undefined;
  readonly least?: string | undefined;
  readonly most?: string | undefined;
}

export interface Question {
  readonly asked: Asked;
  readonly typed: readonly Typed[];
}

const NUMBER = String.raw`\d+(?:\.\d+)?`;
/** `above 13 %`, `13..13.5 %`, `300 L`, at the end of a text. */
const BOUND = new RegExp(
  String.raw`^(.*?)[\s=]+(?:(above|over|under|least|most)\s+)?(${NUMBER})(?:\s*(?:\.\.|…|–)\s*(${NUMBER}))?\s*(%\s?vol|%|[A-Za-zµ/]+)?$`,
  'u',
);

interface Bounded {
  readonly what: string;
  readonly word: string;
  readonly low: number;
  readonly high: number | undefined;
  readonly unit: string;
}

function bounded(text: string, example: string): Worked<Bounded> {
  const match = BOUND.exec(text.trim());
  if (match === null) return refuse(`\`${text}\` has no figure at its end; write it as \`${example}\``);
  const [, what = '', word = '', low = '', high, unit = ''] = match;
  const bounds = {
    what: what.trim(),
    word,
    low: Number(low),
    high: high === undefined ? undefined : Number(high),
    unit,
  };
  if (bounds.high !== undefined && bounds.high < bounds.low)
    return refuse(`\`${text}\`: ${String(bounds.high)} is less than ${String(bounds.low)}`);
  if (bounds.high !== undefined && word !== '')
    return refuse(`\`${text}\`: two figures are a range by themselves; leave \`${word}\` out`);
  return bounds;
}

/** `above` is a lower bound, `under` an upper one, a range both, and a figure alone `only`. */
function boundsOf({ word, low, high }: Bounded, only: (figure: number) => Bounds): Bounds {
  if (high !== undefined) return { low, high };
  if (word === 'above' || word === 'over' || word === 'least') return { low };
  if (word === 'under' || word === 'most') return { high: low };
  return only(low);
}

const scaled = (bounds: Bounds, to: (value: number) => number): Bounds => ({
  ...(bounds.low === undefined ? {} : { low: to(bounds.low) }),
  ...(bounds.high === undefined ? {} : { high: to(bounds.high) }),
});

const LITRE = findUnit('L');

/** Litres of a figure with a unit of volume. */
function litresOf(value: number, symbol: string, text: string): Worked {
  const unit = findUnit(symbol);
  if (unit === undefined || unit.dimension !== 'volume' || LITRE === undefined)
    return refuse(
      `\`${text}\`: ${symbol === '' ? 'a volume has a unit' : `\`${symbol}\` is no volume`}; write it as \`300 L\``,
    );
  return inUnit(value, unit, LITRE);
}

/** What is to be made: `900 L`, `900L`, `238 gal`, in litres, above 0. */
export function readLitres(text: string): Worked {
  const litres = anyLitres(text);
  return litres === 0 ? refuse(`\`${text}\`: nothing is to be made; write how much, as \`900 L\``) : litres;
}

/** The same, or none at all. */
function anyLitres(text: string): Worked {
  const read = bounded(`x ${text.trim()}`, '900 L');
  if (isRefused(read) || read.high !== undefined || read.word !== '' || read.what !== 'x')
    return refuse(`\`${text}\` is no volume; write it as \`900 L\``);
  return litresOf(read.low, read.unit, text);
}

const unquoted = (text: string): string => text.trim().replace(/^["“](.*)["”]$/u, '$1');

/** What stands between commas; a comma in quotes parts nothing. */
const listOf = (text: string): string[] =>
  (text.match(/(?:"[^"]*"|“[^”]*”|[^,])+/gu) ?? []).map((one) => one.trim()).filter((one) => one !== '');

/** The vessels of a range: those declared from the one to the other with the same letters before their number. */
function vesselsBetween(book: Book, first: string, last: string): Worked<string[]> {
  const split = (name: string) => /^(.*?)(\d+)$/u.exec(name);
  const from = split(first);
  const to = split(last);
  const prefix = fold(from?.[1] ?? '');
  if (from === null || to === null || prefix !== fold(to[1] ?? '') || Number(from[2]) > Number(to[2]))
    return refuse(`\`${first}..${last}\` is no range of vessels; write it as \`FB-01..FB-03\``);
  const names = book.vessels.flatMap(({ facts }) => {
    const one = split(facts.name);
    const number = Number(one?.[2]);
    const fits = one !== null && fold(one[1] ?? '') === prefix && number >= Number(from[2]) && number <= Number(to[2]);
    return fits ? [facts.name] : [];
  });
  return names.length > 0 ? names : refuse(`there is no vessel between \`${first}\` and \`${last}\``);
}

/** The vessels a list names: vessels, ranges of them, and lots, which mean every vessel that holds them. */
export function vesselsOf(book: Book, text: string): Worked<string[]> {
  const found: string[] = [];
  for (const one of listOf(text)) {
    const name = unquoted(one);
    const range = /^(.+?)\.\.(.+)$/u.exec(name);
    let vessels: Worked<string[]>;
    if (range !== null && !one.startsWith('"')) vessels = vesselsBetween(book, range[1] ?? '', range[2] ?? '');
    else vessels = vesselsNamed(book, name);
    if (isRefused(vessels)) return vessels;
    for (const vessel of vessels) if (!found.includes(vessel)) found.push(vessel);
  }
  return found.length > 0 ? found : refuse('no vessel or lot is named');
}

function vesselsNamed(book: Book, name: string): Worked<string[]> {
  const wanted = fold(name);
  const vessel = book.vessels.find(({ facts }) => fold(facts.name) === wanted);
  if (vessel !== undefined) return [vessel.facts.name];
  const lot = book.lots.find(({ facts }) => [facts.name, ...facts.formerly].some((one) => fold(one) === wanted));
  if (lot === undefined) {
    const near = nearest(
      name,
      [...book.vessels, ...book.lots].map(({ facts }) => facts.name),
    );
    return refuse(
      `there is no vessel and no lot \`${name}\`${near === undefined ? '' : `; did you mean \`${near}\`?`}`,
    );
  }
  if (lot.vessels.length === 0) return refuse(`\`${lot.facts.name}\` lies in no vessel`);
  return lot.vessels.flatMap((id) => book.vessels[id]?.facts.name ?? []);
}

function readLimit(book: Book, text: string): Worked<Limit> {
  const read = bounded(text, 'T4 300 L');
  if (isRefused(read)) return read;
  const vessels = vesselsOf(book, read.what);
  if (isRefused(vessels)) return vessels;
  const bounds = boundsOf(read, (high) => ({ high }));
  const one = litresOf(1, read.unit, text);
  return isRefused(one) ? one : { vessels, said: text.trim(), ...scaled(bounds, (value) => value * one) };
}

/** A figure in an analyte's own unit, from the unit typed. */
function analyteFactor(analyte: string, symbol: string, text: string): Worked<(value: number) => number> {
  const own = findAnalyte(analyte);
  if (own === undefined) return refuse(`\`${analyte}\` is nothing that is measured`);
  const typed = findUnit(symbol.replace(/\s/gu, ''));
  if (own.fixed && symbol === '') return (value) => value;
  const unit = findUnit(own.unit);
  if (typed === undefined || !own.dimensions.includes(typed.dimension))
    return refuse(
      `\`${text}\`: ${symbol === '' ? 'the unit is missing' : `\`${symbol}\` is no unit of ${own.key}`}; write it in ${own.unit}`,
    );
  return unit === undefined ? (value) => value : (value) => inUnit(value, typed, unit);
}

const NOT_BY_VOLUME: Readonly<Record<string, string>> = {
  pH: 'pH does not blend by volume; the recipe tells an estimate of it. Ask for TA, and look at the pH told',
  'molecular SO2': 'molecular SO₂ hangs on pH and does not blend by volume; ask for free SO2',
};

function readKeep(text: string): Worked<Keep> {
  const read = bounded(text, 'alcohol 13..13.5 %');
  if (isRefused(read)) return read;
  const analyte = findAnalyte(unquoted(read.what));
  if (analyte === undefined)
    return refuse(`\`${read.what}\` is nothing that is measured; write it as \`TA above 5.5 g/L\``);
  if (byVolume(analyte.key) === undefined)
    return refuse(NOT_BY_VOLUME[analyte.key] ?? `${analyte.key} does not blend by volume`);
  const to = analyteFactor(analyte.key, read.unit, text);
  if (isRefused(to)) return to;
  const bounds = scaled(
    boundsOf(read, (figure) => ({ low: figure, high: figure })),
    to,
  );
  return { analyte: analyte.key, said: text.trim(), ...bounds };
}

const grape = (name: string): string => fold(findVariety(name)?.name ?? name);
const same = (a: string | undefined, b: string): boolean => a !== undefined && fold(a) === fold(b);

/** What may be asked of a source, and how it is told. */
const SOURCES: Readonly<Record<string, (origin: Origin, is: string) => boolean>> = {
  variety: (origin, is) => grape(origin.variety) === grape(is),
  vintage: (origin, is) => String(origin.vintage) === is,
  region: (origin, is) => same(origin.region, is),
  block: (origin, is) => same(origin.block, is),
  grower: (origin, is) => same(origin.grower, is),
};

const knownOf = (book: Book, word: string): string[] => [
  ...new Set(
    book.origins.flatMap((origin) => {
      const known: Record<string, string | undefined> = {
        variety: origin.variety,
        vintage: origin.vintage === undefined ? undefined : String(origin.vintage),
        region: origin.region,
        block: origin.block,
        grower: origin.grower,
      };
      return known[word] ?? [];
    }),
  ),
];

function readShare(book: Book, text: string): Worked<ShareAsked> {
  const read = bounded(text, 'variety Syrah, vintage 2026 above 85 %');
  if (isRefused(read)) return read;
  if (read.unit !== '%') return refuse(`\`${text}\`: a share is written in %`);
  const bounds = scaled(
    boundsOf(read, (figure) => ({ low: figure, high: figure })),
    (value) => value / 100,
  );
  if ((bounds.low ?? 0) > 1 || (bounds.high ?? 0) > 1) return refuse(`\`${text}\`: a share is at most 100 %`);
  const said = text.trim();
  const parts = listOf(read.what);
  const tests: ((origin: Origin) => boolean)[] = [];
  for (const part of parts) {
    const [, word = '', rest = ''] = /^(\S+)\s+(.+)$/u.exec(part) ?? [];
    const test = SOURCES[word.toLowerCase()];
    if (test === undefined) break;
    const is = unquoted(rest);
    if (!book.origins.some((origin) => test(origin, is))) {
      const near = nearest(is, knownOf(book, word.toLowerCase()));
      return refuse(`the record knows no ${word} \`${is}\`${near === undefined ? '' : `; did you mean \`${near}\`?`}`);
    }
    tests.push((origin) => test(origin, is));
  }
  if (tests.length > 0 && tests.length < parts.length)
    return refuse(
      `\`${text}\`: name sources alone (variety, vintage, region, block, grower), or vessels and lots alone`,
    );
  if (tests.length > 0)
    return {
      of: { kind: 'source', test: (origin) => tests.every((one) => one(origin)) },
      name: read.what,
      said,
      ...bounds,
    };
  const vessels = vesselsOf(book, read.what);
  return isRefused(vessels) ? vessels : { of: { kind: 'vessels', vessels }, name: read.what, said, ...bounds };
}

/** `T5 TA 5.6 g/L`: a figure for this blend, beside the record or instead of it. */
function readTyped(book: Book, text: string): Worked<Typed> {
  const read = bounded(text, 'T5 TA 5.6 g/L');
  if (isRefused(read)) return read;
  if (read.high !== undefined || read.word !== '') return refuse(`\`${text}\`: a reading is one figure`);
  const [, place = '', words = ''] = /^("[^"]*"|\S+)\s+(.+)$/u.exec(read.what) ?? [];
  const analyte = findAnalyte(words);
  if (analyte === undefined || (byVolume(analyte.key) === undefined && analyte.key !== 'pH'))
    return refuse(
      `\`${text}\`: \`${words === '' ? read.what : words}\` is nothing that is reckoned with here; write it as \`T5 TA 5.6 g/L\``,
    );
  const vessels = vesselsOf(book, place);
  if (isRefused(vessels)) return vessels;
  const to = analyteFactor(analyte.key, read.unit, text);
  return isRefused(to) ? to : { vessels, analyte: analyte.key, value: to(read.low), said: text.trim() };
}

/** The first refusal of a list, or all of it read. */
function all<T>(texts: readonly string[], read: (text: string) => Worked<T>): Worked<T[]> {
  const found: T[] = [];
  for (const text of texts) {
    const one = read(text);
    if (isRefused(one)) return one as Refused;
    found.push(one);
  }
  return found;
}

/** Litres a cellar measures by, where nothing else is asked. */
const USUAL_STEP = 1;

/** `near` is the aim a trial gives, where one was asked for. */
export function readAsked(book: Book, words: Words, near?: Aim): Worked<Question> {
  const volume = (text: string | undefined): Worked<number | undefined> =>
    text === undefined ? undefined : anyLitres(text);
  const make = words.make === undefined ? undefined : readLitres(words.make);
  if (isRefused(make)) return make;
  const lees = volume(words.lees);
  if (isRefused(lees)) return lees;
  const loss = volume(words.loss);
  if (isRefused(loss)) return loss;
  const step = volume(words.step);
  if (isRefused(step)) return step;
  if (step !== undefined && (step < 0.01 || step > 1000)) return refuse('--step is from 0.01 L to 1000 L');
  const named = words.from ?? [];
  if (named.length === 0) return refuse('--from names the vessels or lots to blend: --from T4,T5,FB-01..FB-03');
  const from = vesselsOf(book, named.join(','));
  if (isRefused(from)) return from;
  const limits = all(words.limit ?? [], (text) => readLimit(book, text));
  if (isRefused(limits)) return limits;
  const wholes = words.whole ?? [];
  const whole = wholes.length === 0 ? [] : vesselsOf(book, wholes.join(','));
  if (isRefused(whole)) return whole;
  const keeps = all(words.keep ?? [], readKeep);
  if (isRefused(keeps)) return keeps;
  const shares = all(words.share ?? [], (text) => readShare(book, text));
  if (isRefused(shares)) return shares;
  const typed = all(words.reading ?? [], (text) => readTyped(book, text));
  if (isRefused(typed)) return typed;
  const aim = aimOf(book, words, near);
  if (isRefused(aim)) return aim;
  const isStray = (vessel: string): boolean => !from.includes(vessel);
  const stray = [...limits.flatMap(({ vessels }) => vessels), ...whole, ...('vessels' in aim ? aim.vessels : [])].find(
    isStray,
  );
  if (stray !== undefined) return refuse(`\`${stray}\` is not among the wines of --from`);
  for (const { vessels, said } of typed) {
    const unread = vessels.find(isStray);
    if (unread !== undefined)
      return refuse(`\`${said}\`: \`${unread}\` is not among the wines of --from, and its reading would serve nothing`);
  }
  return {
    asked: {
      make,
      lees: lees ?? 0,
      loss: loss ?? 0,
      from,
      limits,
      whole,
      keeps,
      shares,
      aim,
      step: step ?? USUAL_STEP,
    },
    typed,
  };
}

function aimOf(book: Book, words: Words, near: Aim | undefined): Worked<Aim> {
  const given = [words.least, words.most, near].filter((one) => one !== undefined);
  if (given.length > 1) return refuse('a blend has one aim: --least, --most or --near');
  if (near !== undefined) return near;
  const name = words.least ?? words.most;
  if (name === undefined) return { kind: 'fewest' };
  const vessels = vesselsOf(book, name);
  return isRefused(vessels) ? vessels : { kind: words.least === undefined ? 'most' : 'least', vessels, name };
}
