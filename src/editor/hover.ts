/** What an editor tells of the word under the pointer: what stands for what, and how things are before and after the line. */
import { type Analyte, findAnalyte } from '../../grammar/analytes.ts';
import { CODES, type Code } from '../../grammar/codes.ts';
import { formatDate, weekday } from '../../grammar/dates.ts';
import { sayDimension } from '../../grammar/fit.ts';
import { COMMON, FRAMES, type Need } from '../../grammar/frames.ts';
import { howWritten } from '../../grammar/reference/verbs-said.ts';
import {
  ClauseToken,
  canonical,
  cut,
  DateToken,
  endOf,
  LinkToken,
  NumberToken,
  UnitToken,
  VerbToken,
  WordToken,
} from '../../grammar/tokens.ts';
import { type Dimension, findUnit, type UnitWord, whyRefused } from '../../grammar/units.ts';
import type { ClauseWord, LinkWord, VerbWord } from '../../grammar/words.ts';
import type { LotId, Minute, VesselId } from '../journal/events.ts';
import type { Finding } from '../journal/findings.ts';
import type { MaterialFacts, Settings } from '../journal/register.ts';
import { dayOf, dayText, timeText } from '../report/dates.ts';
import { massText, namedMeasureText, shareText, volumeText } from '../report/figures.ts';
import { stageWord } from '../report/stages.ts';
import { convertWritten, inUnit } from '../trade/convert.ts';
import { parseDecimal } from '../trade/decimal.ts';
import { findSubstance } from '../trade/substances.ts';
import type { Annals, Chapter } from './annals.ts';
import { glimpseLot, glimpseVessel, type LotSeen, lotIn, type VesselSeen, vesselIn } from './glimpse.ts';
import { code, journal, plain } from './markdown.ts';
import { type Meant, meantAt, Names, type Range } from './names.ts';
import { type Spot, spotAt } from './spots.ts';
import type { Known, Study } from './study.ts';

export interface Hover extends Range {
  readonly markdown: string;
}

/** The page of a finding's code, where there is one. */
export type Explain = (code: Code) => string | undefined;

const list = (words: readonly string[]): string =>
  words.length <= 1 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} or ${words[words.length - 1]}`;

/** All there is to tell of a place of a file. */
export function hoverAt(
  study: Study,
  file: number,
  offset: number,
  told: { readonly findings: readonly Finding[]; readonly explain: Explain },
): Hover | undefined {
  const spot = spotAt(study, file, offset);
  if (spot === undefined) return undefined;
  const word = wordHover(study, spot);
  const found = findingsHover(spot, told.findings, told.explain);
  const parts = [word?.markdown, found?.markdown].filter((part) => part !== undefined);
  const place = word ?? found;
  if (place === undefined) return undefined;
  return { file, start: spot.start + place.start, end: spot.start + place.end, markdown: parts.join('\n\n---\n\n') };
}

/** What is known of the record where a line stands: up to the end of its day at least. */
function knownAt(study: Study, { day }: Spot): Known | undefined {
  if (day !== undefined) return study.reach(day);
  study.outcome();
  return study.known();
}

interface InLine {
  readonly start: number;
  readonly end: number;
  readonly markdown: string;
}

function wordHover(study: Study, spot: Spot): InLine | undefined {
  if (spot.kind === 'note' || spot.kind === 'conflict' || spot.kind === 'blank') return undefined;
  const known = knownAt(study, spot);
  const { settings } = known?.register ?? {};
  if (known !== undefined && spot.kind === 'said') {
    const meant = meantAt(spot, new Names(study, known));
    if (meant !== undefined) {
      const markdown = nameHover(study, known, spot, meant);
      if (markdown !== undefined) return { start: meant.start, end: meant.end, markdown };
    }
  }
  const { tokens } = cut(spot.text);
  const at = tokens.findIndex((token) => token.startOffset <= spot.offset && spot.offset <= endOf(token));
  // between two tokens that touch, the one that begins is meant
  const index = tokens[at + 1]?.startOffset === spot.offset ? at + 1 : at;
  const token = tokens[index];
  if (token === undefined) return undefined;
  const start = token.startOffset;
  const end = endOf(token);
  const verb = tokens.find(({ tokenType }) => tokenType === VerbToken);
  switch (token.tokenType) {
    case DateToken: {
      const day = spot.day;
      return day === undefined ? undefined : { start, end, markdown: `${weekday(day)} ${plain(dayText(day))}` };
    }
    case VerbToken:
      return { start, end, markdown: verbText(canonical(token.image) as VerbWord) };
    case LinkToken:
    case ClauseToken: {
      if (verb === undefined) return undefined;
      const said = phraseText(canonical(verb.image) as VerbWord, canonical(token.image) as LinkWord | ClauseWord);
      return said === undefined ? undefined : { start, end, markdown: said };
    }
    case UnitToken:
      return unitHover(token.image, start, end);
    case NumberToken: {
      const next = tokens[index + 1];
      const unit = next?.tokenType === UnitToken ? findUnit(next.image) : undefined;
      if (unit === undefined || settings === undefined || next === undefined) return undefined;
      const markdown = conversion(token.image, unit, settings);
      return markdown === undefined ? undefined : { start, end: endOf(next), markdown };
    }
    case WordToken: {
      const two = tokens[index + 1]?.tokenType === WordToken ? `${token.image} ${tokens[index + 1]?.image}` : undefined;
      const analyte = (two === undefined ? undefined : findAnalyte(two)) ?? findAnalyte(token.image);
      return analyte === undefined ? undefined : { start, end, markdown: analyteText(analyte) };
    }
    default:
      return undefined;
  }
}

// words of the language

const needText = (need: Need | readonly Need[]): string =>
  list((typeof need === 'string' ? [need] : need).map((one) => (one === 'head' ? 'what stands after it' : code(one))));

/** A verb's frame in words, with its examples. */
export function verbText(verb: VerbWord): string {
  const frame = FRAMES[verb];
  const { head } = frame;
  const lines = [`**${verb}**: ${frame.say}`];
  const slots = [
    ...(head === undefined ? [] : [`- after it: ${head.say}`]),
    ...Object.entries(frame.phrases).map(([word, slot]) => `- ${code(word)}: ${slot.say}`),
  ];
  if (slots.length > 0) lines.push(slots.join('\n'));
  const needs = frame.needs.map(needText);
  if (needs.length > 0) lines.push(`Needs ${needs.join('; ')}.`);
  lines.push(journal(frame.examples));
  return lines.join('\n\n');
}

function phraseText(verb: VerbWord, word: LinkWord | ClauseWord): string | undefined {
  const slot = FRAMES[verb].phrases[word] ?? COMMON[word];
  return slot === undefined ? undefined : `${code(word)} after ${code(verb)}: ${slot.say}\n\n${howWritten(slot)}`;
}

export function analyteText(analyte: Analyte): string {
  const unit = analyte.fixed
    ? `a number alone; it means ${analyte.unit}`
    : `with a unit of ${list(analyte.dimensions.map(sayDimension).map((said) => said.replace(/^an? /, '')))}`;
  const [low, high] = analyte.plausible;
  return `**${plain(analyte.key)}**: ${analyte.say}; ${unit}\n\nUsual: ${low} to ${high} ${plain(analyte.unit)} (common practice, no source)`;
}

// units and figures

function unitHover(image: string, start: number, end: number): InLine | undefined {
  const unit = findUnit(image);
  if (unit === undefined) {
    const why = whyRefused(image);
    return why === undefined ? undefined : { start, end, markdown: `${code(image)}: ${why}` };
  }
  return { start, end, markdown: unitText(unit) };
}

/** The unit each dimension is told in, beside the one written. */
const TOLD_IN: Readonly<Partial<Record<Dimension, readonly string[]>>> = {
  volume: ['L', 'gal'],
  mass: ['kg', 'lb'],
  temperature: ['C', 'F'],
  length: ['cm', 'in'],
  area: ['ha', 'acre'],
  duration: ['min', 'h'],
  pressure: ['bar', 'psi'],
  'mass per volume': ['g/hL', 'mg/L', 'lb/1000 gal'],
  'mass per mass': ['g/t', 'lb/short-ton'],
  'volume per volume': ['mL/hL', 'mL/gal'],
  'volume per mass': ['L/t', 'gal/short-ton'],
  'volume per length': ['L/cm', 'gal/in'],
};

const shown = (value: number): string => String(Number(value.toPrecision(10)));

export function unitText(unit: UnitWord): string {
  const others = (TOLD_IN[unit.dimension] ?? [])
    .filter((symbol) => symbol !== unit.symbol)
    .flatMap((symbol) => {
      const to = findUnit(symbol);
      if (to === undefined) return [];
      return [
        unit.offset === undefined && to.offset === undefined
          ? `1 ${unit.symbol} = ${shown(inUnit(1, unit, to))} ${symbol}`
          : `${unit.symbol === 'F' ? '(F − 32) × 5/9 = C' : 'C × 9/5 + 32 = F'}`,
      ];
    });
  const same = unit.words.filter((word) => word !== unit.symbol);
  return [
    `**${plain(unit.symbol)}**: ${unit.say}, ${sayDimension(unit.dimension)}`,
    ...(others.length === 0 ? [] : [others.map(plain).join('  \n')]),
    ...(same.length === 0 ? [] : [`Also written ${same.slice(0, 6).map(code).join(', ')}`]),
  ].join('\n\n');
}

/** The unit of the reports for a dimension. */
function reportUnit(dimension: Dimension, settings: Settings): string | undefined {
  switch (dimension) {
    case 'volume':
      return settings.volume;
    case 'temperature':
      return settings.temperature;
    case 'mass':
      return settings.mass;
    default:
      return undefined;
  }
}

/** A figure in the unit of the reports; where it stands in it already, in the other custom. */
function conversion(text: string, unit: UnitWord, settings: Settings): string | undefined {
  const written = parseDecimal(text);
  if (written === undefined) return undefined;
  const wanted = reportUnit(unit.dimension, settings);
  const to =
    wanted !== undefined && wanted !== unit.symbol
      ? [wanted]
      : (TOLD_IN[unit.dimension] ?? []).filter((symbol) => symbol !== unit.symbol);
  const said = to.flatMap((symbol) => {
    const other = findUnit(symbol);
    const figure = other === undefined ? undefined : convertWritten(written, unit, other, 6);
    return figure === undefined ? [] : [`${shown(Number(figure))} ${symbol}`];
  });
  return said.length === 0 ? undefined : `${plain(`${text} ${unit.symbol}`)} = ${said.map(plain).join(' = ')}`;
}

// names

function nameHover(study: Study, known: Known, spot: Spot, { thing, name }: Meant): string | undefined {
  switch (thing.kind) {
    case 'vessel':
      return vesselText(study, known, spot, thing.id);
    case 'lot':
      return lotText(study, known, spot, thing.id);
    case 'material': {
      const facts = known.register.materials[thing.id];
      return facts === undefined ? undefined : materialText(facts);
    }
    case 'block': {
      const facts = known.register.blocks[thing.id];
      if (facts === undefined) return undefined;
      const told = [
        `${facts.variety}${facts.colour === undefined ? '' : ` (${facts.colour})`}`,
        ...(facts.region === undefined ? [] : [`region ${facts.region}`]),
        ...(facts.hectares === undefined ? [] : [`${shown(facts.hectares)} ha`]),
        ...(facts.grower === undefined ? [] : [`grower ${facts.grower}`]),
        ...(facts.estate ? ['estate'] : []),
        ...facts.details,
      ];
      return `**${plain(facts.name)}**: a block of ${told.map(plain).join(', ')}`;
    }
    case 'sample': {
      const facts = known.register.samples[thing.id];
      if (facts === undefined) return undefined;
      return `**${plain(facts.name)}**: drawn on ${plain(dayText(dayOf(facts.minute)))}; readings of it count from that day`;
    }
    case 'plan': {
      const facts = known.register.plan(name);
      if (facts === undefined) return undefined;
      return [`**${plain(facts.name)}**: a plan`, journal(facts.rows.map((row) => row.said))].join('\n\n');
    }
    case 'hand':
      return undefined;
  }
}

const per = (amount: number, of: 'mass' | 'volume' | 'piece'): string =>
  of === 'mass'
    ? `${shown(amount / 10_000)} % by weight`
    : of === 'volume'
      ? `${shown(amount / 1e9)} g/L`
      : `${shown(amount / 1e6)} g a piece`;

export function materialText(facts: MaterialFacts): string {
  const substance = facts.substance === undefined ? undefined : findSubstance(facts.substance);
  const formula =
    substance?.formula === undefined ? '' : ` (${substance.formula}, ${shown(substance.molarMass ?? 0)} g/mol)`;
  const lines = [
    `**${plain(facts.name)}**: ${plain(substance === undefined ? facts.kind : `${substance.name}${formula}`)}`,
  ];
  const brings = facts.brings.map(({ analyte, per: of, amount }) => `${analyte} ${per(amount, of)}`);
  if (brings.length > 0) lines.push(`Brings ${brings.map(plain).join(', ')}`);
  if (facts.allergen !== undefined)
    lines.push(`Allergen: ${plain(facts.allergen)}; which must be declared is for the law of the place.`);
  if (facts.caution !== undefined) lines.push(`⚠ ${plain(facts.caution)}`);
  if (facts.kind !== 'water') lines.push("The product's own label and safety data sheet come first.");
  return lines.join('\n\n');
}

/** Sources told of a vessel; the rest are put together. */
const MOST_SOURCES = 3;

function vesselState(seen: VesselSeen, capacity: number, settings: Settings): string {
  const { lot, volume, estimated, doubtful, retired, sources } = seen;
  const doubt = doubtful ? '; in doubt, because a line could not be read' : '';
  if (lot === undefined || volume === 0) return `${retired ? 'retired' : 'empty'}${doubt}`;
  const parts = sources.slice(0, MOST_SOURCES).map((source) => `${shareText(source.volume, volume)} ${source.name}`);
  if (sources.length > MOST_SOURCES) parts.push(`${sources.length - MOST_SOURCES} more`);
  const full = capacity > 0 ? `, ${shareText(volume, capacity)} full` : '';
  return `${lot}, ${volumeText(volume, settings, estimated)}${full} (${parts.join(', ')})${doubt}`;
}

/** Two states in words; one where nothing changed. */
const beforeAndAfter = (before: string, after: string): string =>
  before === after
    ? `At this line: ${plain(after)}`
    : `Before this line: ${plain(before)}  \nAfter it: ${plain(after)}`;

function vesselText(study: Study, known: Known, spot: Spot, id: VesselId): string | undefined {
  const { day, first, last } = spot;
  const seen =
    day === undefined || first === undefined || last === undefined ? undefined : glimpseVessel(study, id, first, last);
  const { settings, vessels } = known.register;
  const facts = vessels[id];
  if (facts === undefined) return undefined;
  const told = [
    facts.kind,
    volumeText(facts.capacity, settings),
    ...facts.details,
    ...(facts.gauge === undefined ? [] : [`gauge ${shown(facts.gauge / 1e8)} L/cm`]),
    ...(facts.at === undefined ? [] : [`at ${facts.at}`]),
    ...(facts.firstUsed === undefined ? [] : [`first used ${facts.firstUsed}`]),
  ];
  const state = (one: VesselSeen): string => vesselState(one, facts.capacity, settings);
  return [
    `**${plain(facts.name)}**: ${told.map(plain).join(', ')}`,
    seen === undefined
      ? `At the end of the record: ${plain(state(vesselIn(known.cellar, id)))}`
      : beforeAndAfter(state(seen.before), state(seen.after)),
  ].join('\n\n');
}

/** Chapters of a lot's story that are told. */
const MOST_CHAPTERS = 8;
/** Vessels of a lot told by name. */
const MOST_VESSELS = 6;

function lotState(seen: LotSeen, settings: Settings): string {
  const { stage, onHand, estimated, waiting, vessels } = seen;
  if (waiting > 0 && onHand === 0) return `${massText(waiting, settings)} of fruit wait`;
  if (onHand === 0) return stage === 'fruit' ? 'nothing yet' : 'nothing on hand';
  const where = vessels.slice(0, MOST_VESSELS).map(({ name, volume }) => `${name} ${volumeText(volume, settings)}`);
  const more = vessels.length > MOST_VESSELS ? `, ${vessels.length - MOST_VESSELS} more` : '';
  return `${stageWord(stage)}, ${volumeText(onHand, settings, estimated)}${where.length === 0 ? '' : `: ${where.join(', ')}${more}`}`;
}

function story(last: Chapter | undefined, until: Minute, settings: Settings): string[] {
  const lines: string[] = [];
  let count = 0;
  for (let chapter = last; chapter !== undefined; chapter = chapter.earlier) {
    if (chapter.minute > until) continue;
    count++;
    if (lines.length >= MOST_CHAPTERS) continue;
    const { minute, sentence, volume, estimated } = chapter;
    const day = dayOf(minute);
    lines.unshift(
      `- ${plain(`${formatDate(day)} ${timeText(minute)}`)} ${plain(sentence)} (${plain(volumeText(volume, settings, estimated))})`,
    );
  }
  return count > lines.length ? [`- ${count - lines.length} earlier`, ...lines] : lines;
}

function lastReadText(annals: Annals | undefined, lot: LotId, settings: Settings): string[] {
  if (annals === undefined) return [];
  const read = [...annals.lastRead(lot).values()].sort((a, b) => b.minute - a.minute).slice(0, 6);
  if (read.length === 0) return [];
  const told = read.map(
    ({ measure, minute }) => `${namedMeasureText(measure, settings)} on ${formatDate(dayOf(minute))}`,
  );
  return [`Last read: ${told.map(plain).join(', ')}`];
}

function lotText(study: Study, known: Known, spot: Spot, id: LotId): string | undefined {
  const { day, first, last } = spot;
  const seen =
    day === undefined || first === undefined || last === undefined ? undefined : glimpseLot(study, id, first, last);
  const { settings, lots } = known.register;
  const facts = lots[id];
  if (facts === undefined) return undefined;
  const until = seen === undefined ? Number.POSITIVE_INFINITY : (last?.minute ?? 0);
  const annals = seen?.annals ?? known.annals;
  const formerly = facts.formerly.length === 0 ? '' : `, formerly ${facts.formerly.map(plain).join(', ')}`;
  const chapters = story(annals.story(id), until, settings);
  return [
    `**${plain(facts.name)}**: ${facts.bottling ? 'a bottling' : 'a lot'}${formerly}`,
    seen === undefined
      ? `At the end of the record: ${plain(lotState(lotIn(known.cellar, id, until), settings))}`
      : beforeAndAfter(lotState(seen.before, settings), lotState(seen.after, settings)),
    ...lastReadText(annals, id, settings),
    ...(chapters.length === 0 ? [] : [chapters.join('\n')]),
  ].join('\n\n');
}

// findings

/** The beginning of a page: why it matters, without its title and its journals. */
const why = (page: string): string =>
  page
    .replace(/^\s*#[^\n]*\n/u, '')
    .split(/^## /m)[0]
    ?.trim() ?? '';

function findingsHover(spot: Spot, findings: readonly Finding[], explain: Explain): InLine | undefined {
  const before = spot.text.slice(0, spot.offset);
  const line = spot.line + before.split('\n').length - 1;
  const lineStart = before.lastIndexOf('\n') + 1;
  const column = spot.offset - lineStart + 1;
  const here = findings.filter(
    ({ where }) =>
      where.file === spot.file && where.line === line && where.column <= column && column <= where.endColumn,
  );
  const [first] = here;
  if (first === undefined) return undefined;
  const codes = [...new Set(here.map((finding) => finding.code))];
  return {
    start: lineStart + first.where.column - 1,
    end: lineStart + first.where.endColumn - 1,
    markdown: codes.map((one) => `**${one}**: ${CODES[one].title}\n\n${why(explain(one) ?? '')}`.trim()).join('\n\n'),
  };
}
