/** What may be written next at a place of a file: the words its verb takes there, and the names the journal has. */
import { ANALYTES, type Analyte, findAnalyte } from '../../grammar/analytes.ts';
import { formatDate, parseDate, weekday } from '../../grammar/dates.ts';
import { asWritten } from '../../grammar/fixes.ts';
import { COMMON, FRAMES, type Frame, type Need, type Slot } from '../../grammar/frames.ts';
import {
  AskToken,
  ClauseToken,
  CommaToken,
  canonical,
  cut,
  DateToken,
  DotDotToken,
  LinkToken,
  NumberToken,
  RemarkToken,
  StringToken,
  StruckToken,
  TimeToken,
  VerbToken,
  WordToken,
} from '../../grammar/tokens.ts';
import { type Dimension, UNITS } from '../../grammar/units.ts';
import {
  type ClauseWord,
  COLOURS,
  fold,
  type LinkWord,
  MATERIAL_KINDS,
  VERBS,
  VESSEL_KINDS,
  type VerbWord,
} from '../../grammar/words.ts';
import { type Cellar, NO_LOT } from '../cellar/cellar.ts';
import { WORKS } from '../journal/plan-rows.ts';
import { STAGE_WORDS, WINE_KINDS } from '../journal/plans.ts';
import { volumeText } from '../report/figures.ts';
import { stageWord } from '../report/stages.ts';
import { SUBSTANCES } from '../trade/substances.ts';
import { VARIETIES } from '../trade/varieties.ts';
import { analyteText, materialText, unitText, verbText } from './hover.ts';
import type { Range } from './names.ts';
import { snippetOf } from './snippets.ts';
import { type Spot, spotAt } from './spots.ts';
import type { Known, Study } from './study.ts';

type Token = ReturnType<typeof cut>['tokens'][number];

export type CandidateKind =
  | 'verb'
  | 'word'
  | 'vessel'
  | 'lot'
  | 'block'
  | 'sample'
  | 'material'
  | 'hand'
  | 'plan'
  | 'unit'
  | 'analyte'
  | 'day'
  | 'line';

export interface Candidate {
  readonly label: string;
  readonly kind: CandidateKind;
  /** What is written; for a `line` with places to type at, `${1:T4}`. */
  readonly insert: string;
  readonly detail: string;
  /** Markdown, worked out when it is asked for. */
  readonly documentation?: () => string;
  /** The lower, the likelier. */
  readonly rank: number;
}

export interface Completion {
  /** What stands there already and is written over. */
  readonly replaces: Range;
  /** In the order they are offered. */
  readonly candidates: readonly Candidate[];
  /** There are more, for whoever types on. */
  readonly more: boolean;
}

const PREFIX = /[\p{L}°%][\p{L}\p{M}\p{N}_/²³-]*$/u;

/** What may stand at an offset of a file; nothing in notes, remarks and comments. */
export function completeAt(study: Study, file: number, offset: number): Completion | undefined {
  const spot = spotAt(study, file, offset);
  if (spot === undefined || spot.kind === 'note' || spot.kind === 'conflict') return undefined;
  const before = spot.text.slice(0, spot.offset);
  const whole = cut(before);
  const behind = [...whole.comments, ...whole.tokens.filter(({ tokenType }) => tokenType === RemarkToken)];
  // a comment on a line that goes on in the next ends with its own
  if (behind.some((token) => !before.slice(token.startOffset).includes('\n'))) return undefined;
  const quote = whole.bad.find((bad) => before.charAt(bad.offset) === '"');
  const start = quote?.offset ?? before.length - (PREFIX.exec(before)?.[0].length ?? 0);
  const context = cut(before.slice(0, start)).tokens;
  const typed = fold(before.slice(start).replace('"', ''));
  const place = new Place(study, spot, context, typed, quote !== undefined);
  const candidates = place.candidates().filter(({ label }) => fits(fold(label), typed));
  return {
    replaces: { file, start: spot.start + start, end: spot.start + spot.offset },
    candidates: candidates.sort((a, b) => a.rank - b.rank),
    more: place.more,
  };
}

/** So many lots are offered before anything is typed; of more, only those that are there. */
const MANY_LOTS = 150;

/** Whether the letters typed stand in a word in their order. */
function fits(word: string, typed: string): boolean {
  let at = 0;
  for (const letter of typed) {
    const next = word.indexOf(letter, at);
    if (next === -1) return false;
    at = next + 1;
  }
  return true;
}

const word = (label: string, detail: string, rank: number): Candidate => ({
  label,
  kind: 'word',
  insert: label,
  detail,
  rank,
});

/** One place of a line, and what the line says before it. */
class Place {
  private readonly study: Study;
  private readonly spot: Spot;
  private readonly quoted: boolean;
  private readonly typed: string;
  /** Something was left out, because nothing is typed yet. */
  more = false;
  private readonly context: readonly Token[];
  private readonly known: Known | undefined;

  constructor(study: Study, spot: Spot, context: readonly Token[], typed: string, quoted: boolean) {
    this.study = study;
    this.spot = spot;
    this.typed = typed;
    this.context = context;
    this.quoted = quoted;
    if (spot.day !== undefined) study.reach(spot.day);
    this.known = study.known();
  }

  candidates(): Candidate[] {
    let at = 0;
    const opening = [TimeToken, CommaToken, DotDotToken, StruckToken];
    for (let token = this.context[at]; token !== undefined && opening.includes(token.tokenType); )
      token = this.context[++at];
    const first = this.context[at];
    const timed = this.context.slice(0, at).some(({ tokenType }) => tokenType === TimeToken);
    if (first === undefined) return this.quoted ? [] : this.beginnings(timed);
    if (first.tokenType === DateToken) return this.quoted ? [] : weekdayOf(first);
    if (first.tokenType !== VerbToken) return this.spot.owner?.verb === 'trial' ? this.treatment() : [];
    return this.behindVerb(canonical(first.image) as VerbWord, this.context.slice(at + 1));
  }

  // the beginning of a line

  private beginnings(timed: boolean): Candidate[] {
    const { owner, day, text } = this.spot;
    const found: Candidate[] = [];
    if (!timed && owner?.verb === 'readings') found.push(...this.rows());
    if (!timed && owner?.verb === 'trial') found.push(...this.hands());
    const blank = text.slice(0, this.spot.offset).trim() === '';
    if (!timed && blank) found.push(...this.nextDay());
    for (const verb of VERBS) {
      const { say, standing, under } = FRAMES[verb];
      if (under !== undefined && (timed || owner?.verb !== under)) continue;
      const usual = under !== undefined || (standing === true) === (day === undefined && !timed);
      const rank = under !== undefined ? 5 : usual ? 10 : 30;
      const documentation = (): string => verbText(verb);
      found.push({ label: verb, kind: 'verb', insert: verb, detail: say, documentation, rank });
      const line = snippetOf(verb);
      if (line !== undefined)
        found.push({
          label: line.text,
          kind: 'line',
          insert: line.snippet,
          detail: say,
          documentation,
          rank: rank + 1,
        });
    }
    if (day !== undefined) found.push(word('struck', 'keeps a wrong line, uncounted', 40));
    return found;
  }

  /** Vessels for the next row of a table. */
  private rows(): Candidate[] {
    return this.places(['vessel', 'lot'], 'full').map((one) => ({ ...one, rank: one.rank - 10 }));
  }

  /** Who works here, and begins a taster's row. */
  private hands(): Candidate[] {
    return (this.known?.register.hands ?? []).map((name, i) => this.name(name, 'hand', 'works here', i / 100));
  }

  private nextDay(): Candidate[] {
    const { day } = this.spot;
    if (day === undefined) return [];
    const label = `${formatDate(day + 1)} ${weekday(day + 1)}`;
    return [{ label, kind: 'day', insert: label, detail: 'the next day', rank: 20 }];
  }

  /** The cells of a trial's row: what was tried, and how much of it. */
  private treatment(): Candidate[] {
    const last = this.context[this.context.length - 1];
    return last?.tokenType === NumberToken
      ? units(TRIED)
      : [...this.materials(), ...this.places(['vessel', 'lot'], 'full')];
  }

  // behind a verb

  private behindVerb(verb: VerbWord, tokens: readonly Token[]): Candidate[] {
    const frame = FRAMES[verb];
    let phrase: LinkWord | ClauseWord | undefined;
    let item: Token[] = [];
    let items = 0;
    const used = new Set<string>();
    for (const token of tokens) {
      if (token.tokenType === LinkToken || token.tokenType === ClauseToken) {
        phrase = canonical(token.image) as LinkWord | ClauseWord;
        used.add(phrase);
        item = [];
        items = 0;
      } else if (token.tokenType === CommaToken) {
        items++;
        item = [];
      } else item.push(token);
    }
    const slot = phrase === undefined ? frame.head : (frame.phrases[phrase] ?? COMMON[phrase]);
    const last = item[item.length - 1];
    const phrases = this.quoted ? [] : phrasesOf(frame, used);
    if (slot === undefined) return phrases;
    if (last === undefined) {
      const opening = this.opening(verb, phrase, slot, items);
      // a link right behind the verb says that nothing stands before it
      const needed = phrase === undefined && items === 0 && slot.empty !== true && frame.needs.includes('head');
      return needed ? opening : [...opening, ...phrases];
    }
    if (last.tokenType === DotDotToken) return this.places(['vessel'], 'any');
    if (this.quoted) return [];
    const measured = analyteBefore(slot.free === true && slot.analytes === undefined ? tokens : item);
    const inside = this.inside(verb, phrase, slot, item, items, measured);
    const complete = slot.bare === true || slot.free === true || measured?.fixed === true;
    return last.tokenType === NumberToken && !complete ? inside : [...inside, ...phrases];
  }

  /** What an item may begin with. */
  private opening(verb: VerbWord, phrase: string | undefined, slot: Slot, items: number): Candidate[] {
    if (phrase === undefined && items === 0) {
      if (verb === 'due') return ['reading', ...WORKS].map((work) => word(work, 'what is due', 0));
      if (verb === 'keep' || verb === 'warn') return analytes(0);
      if (verb === 'method') return analytes(0);
      if (verb === 'law' || verb === 'report' || verb === 'tolerance') return listed(slot, 0);
    }
    if (verb === 'due' && phrase === 'with') return this.materials();
    if (verb === 'plan' && phrase === 'for')
      return [...WINE_KINDS.map((kind) => word(kind, 'what it covers', 0)), ...this.places(['lot', 'vessel'], 'full')];
    if (verb === 'plan' && phrase === 'in')
      return [...VESSEL_KINDS.map((kind) => word(kind, 'a kind of vessel', 0)), ...this.places(['vessel'], 'any')];
    if (FRAMES[verb].under === 'plan' && (phrase === 'while' || phrase === 'when' || phrase === 'until'))
      return [...analytes(0), ...STAGE_WORDS.map((stage) => word(stage, 'a stage of the wine', 1))];
    if (phrase === 'is') return SUBSTANCES.map(({ name, kind }) => word(name, kind, 0));
    if (slot.analytes === 'columns' || (slot.analytes === 'reading' && items > 0)) return analytes(0);
    return [...this.named(slot, phrase), ...listed(slot, 0), ...this.dates(slot)];
  }

  /** The names a slot takes. */
  private named(slot: Slot, phrase: string | undefined): Candidate[] {
    const into = phrase === 'to' && slot.quants?.includes('rest') === true;
    switch (slot.names) {
      case 'place':
        return this.places(['vessel', 'lot', 'sample', 'block'], into ? 'empty' : 'full');
      case 'lot':
        return this.places(['lot'], 'full');
      case 'block':
        return this.places(['block'], 'any');
      case 'any':
        return [...this.places(['vessel', 'lot'], 'any'), ...this.materials()];
      case 'material':
        return this.materials();
      case 'hand':
        return this.hands();
      case 'plan':
        return [...new Set((this.known?.register.plans ?? []).map(({ name }) => name))].map((name) =>
          this.name(name, 'plan', 'a plan', 0),
        );
      case 'new':
        return phrase === 'as' ? this.places(['lot'], 'full') : [];
      default:
        return [];
    }
  }

  private dates(slot: Slot): Candidate[] {
    const { day } = this.spot;
    if (slot.date !== true || day === undefined) return [];
    return [day, day + 1].map((one, i): Candidate => {
      const label = formatDate(one);
      return { label, kind: 'day', insert: label, detail: weekday(one), rank: i };
    });
  }

  /** What may stand behind what an item has begun with. */
  private inside(
    verb: VerbWord,
    phrase: string | undefined,
    slot: Slot,
    item: readonly Token[],
    items: number,
    measured: Analyte | undefined,
  ): Candidate[] {
    const last = item[item.length - 1];
    const found: Candidate[] = [];
    if (last === undefined) return found;
    if (last.tokenType === NumberToken || last.tokenType === AskToken) {
      if (FRAMES[verb].under === 'plan') return units([...(measured?.dimensions ?? []), ...PLANNED]);
      const each = slot.quants?.includes('each') === true ? [word('each', 'for every one of them', 3)] : [];
      return [...units(slot.analytes === 'reading' ? (measured?.dimensions ?? []) : (slot.amounts ?? [])), ...each];
    }
    const behindName = last.tokenType === WordToken || last.tokenType === StringToken;
    if (phrase === undefined && items === 0 && item.length === 1 && behindName) {
      if (verb === 'vessel') return VESSEL_KINDS.map((kind) => word(kind, 'a kind of vessel', 0));
      if (verb === 'material') return MATERIAL_KINDS.map((kind) => word(kind, 'a kind of material', 0));
      if (verb === 'block') return VARIETIES.map(({ name, colour }) => word(name, `${colour} grape`, 0));
      if (verb === 'variety') return COLOURS.map((colour) => word(colour, 'its colour', 0));
      if (verb === 'due' && canonical(last.image) === 'reading') return analytes(0);
      if (verb === 'due' && ['add', 'inoculate', 'fine'].includes(canonical(last.image))) return this.materials();
    }
    if (verb === 'due' && phrase === undefined) found.push(...RHYTHMS.map((rhythm, i) => word(rhythm, 'how often', i)));
    if (verb === 'warn' && phrase === undefined && measured !== undefined)
      found.push(word('falling', 'its pace', 0), word('rising', 'its pace', 0));
    if (slot.analytes === 'columns' && measured !== undefined && !measured.fixed)
      found.push(...units(measured.dimensions));
    if (slot.analytes === 'reading' && measured === undefined) found.push(...analytes(0));
    if (slot.analytes === 'rate' && last.tokenType !== WordToken)
      found.push(...BROUGHT.map((one) => word(one, 'what it brings', 2)));
    for (const quant of slot.quants ?? [])
      if (quant === 'each' ? item.some(({ tokenType }) => tokenType === NumberToken) : behindName)
        found.push(word(quant, 'a quantity without a number', 3));
    return found;
  }

  // names of the journal

  private name(name: string, kind: CandidateKind, detail: string, rank: number): Candidate {
    return { label: name, kind, insert: this.quoted ? `"${name}"` : asWritten(name), detail, rank };
  }

  private materials(): Candidate[] {
    return (this.known?.register.materials ?? []).map((facts) => ({
      ...this.name(facts.name, 'material', facts.substance ?? facts.kind, 0),
      documentation: () => materialText(facts),
    }));
  }

  /** Vessels, lots and what shares their names; `first` says which vessels are likelier. */
  private places(
    kinds: readonly ('vessel' | 'lot' | 'block' | 'sample')[],
    first: 'full' | 'empty' | 'any',
  ): Candidate[] {
    const { known } = this;
    if (known === undefined) return [];
    const { register } = known;
    const { day } = this.spot;
    const cellar = (day === undefined ? undefined : this.study.beginningOf(day)?.cellar) ?? known.cellar;
    const found: Candidate[] = [];
    const wanted = (name: string): boolean => fits(fold(name), this.typed);
    const few = this.typed !== '' || register.lots.length <= MANY_LOTS;
    if (kinds.includes('lot'))
      for (const { id, name } of register.lots) {
        if (!wanted(name)) continue;
        const lot = this.lot(cellar, id, name, known);
        if (few || lot.rank < USED_UP) found.push(lot);
        else this.more = true;
      }
    if (kinds.includes('vessel'))
      for (const { id, name, kind, capacity } of register.vessels) {
        if (!wanted(name)) continue;
        const state = id < cellar.register.vessels.length ? cellar.vessel(id) : undefined;
        const full = state !== undefined && state.lot !== NO_LOT;
        const size = volumeText(capacity, register.settings);
        const detail = full
          ? `${kind}, ${cellar.nameOfLot(state.lot)} ${volumeText(state.content.volume, register.settings, state.content.slack > 0)} of ${size}`
          : `${kind}, ${state?.retired === true ? 'retired' : 'empty'}, ${size}`;
        const likely = first === 'any' || full === (first === 'full');
        found.push(this.name(name, 'vessel', detail, state?.retired === true ? 9 : likely ? 1 : 4));
      }
    if (kinds.includes('block'))
      for (const { name, variety } of register.blocks) found.push(this.name(name, 'block', variety, 7));
    if (kinds.includes('sample'))
      for (const { name } of register.samples.slice(-50))
        found.push(this.name(name, 'sample', 'a sample or a trial', 6));
    return found;
  }

  private lot(cellar: Cellar, id: number, name: string, known: Known): Candidate {
    const from = id < cellar.register.lots.length ? cellar : known.cellar;
    const lot = from.lot(id);
    const volume = from.onHand(lot);
    const there = volume > 0 || from.fruitWaiting(lot) > 0;
    const later = id >= cellar.register.lots.length;
    const detail = `${lot.facts.bottling ? 'a bottling' : stageWord(lot.stage)}, ${volumeText(volume, known.register.settings, from.estimated(lot))}`;
    return this.name(name, 'lot', later ? 'begins here or later' : detail, there || later ? 2 : USED_UP);
  }
}

const USED_UP = 8;

/** What a row of a trial gives, and what a line of a plan counts in. */
const TRIED: readonly Dimension[] = ['mass per volume', 'volume per volume', 'percent', 'volume', 'mass'];
const PLANNED: readonly Dimension[] = ['duration', 'count', 'mass', 'volume', 'mass per volume', 'mass per mass'];

const RHYTHMS: readonly string[] = ['every', 'once', 'twice a day', 'a day', 'a week', 'a month'];

/** What a rate may be of, as the trade writes it. */
const BROUGHT: readonly string[] = ['SO2', 'N', 'Cu'];

function weekdayOf(date: Token): Candidate[] {
  const day = parseDate(date.image);
  return Number.isNaN(day)
    ? []
    : [{ label: weekday(day), kind: 'day', insert: weekday(day), detail: 'its weekday', rank: 0 }];
}

/** Links and clauses that may still stand, what the verb needs first. */
function phrasesOf(frame: Frame, used: ReadonlySet<string>): Candidate[] {
  const needed = new Set<Need>(frame.needs.flat());
  const own = Object.entries(frame.phrases).filter(
    ([phrase]) => !used.has(phrase) || frame.again?.some((again) => again === phrase) === true,
  );
  const common = Object.entries(COMMON).filter(
    ([phrase]) => !used.has(phrase) && !Object.hasOwn(frame.phrases, phrase),
  );
  return [
    ...own.map(([phrase, slot]) => word(phrase, slot.say, [...needed].some((need) => need === phrase) ? 10 : 11)),
    ...common.map(([phrase, slot]) => word(phrase, slot.say, 12)),
  ];
}

const listed = (slot: Slot, rank: number): Candidate[] =>
  Array.isArray(slot.words) ? slot.words.map((one: string) => word(one, slot.say, rank)) : [];

const analytes = (rank: number): Candidate[] =>
  ANALYTES.map((analyte, i) => ({
    label: analyte.key,
    kind: 'analyte',
    insert: analyte.key,
    detail: analyte.say,
    documentation: () => analyteText(analyte),
    rank: rank + i / 100,
  }));

/** Every unit of some dimensions, in the order the slot and the table have them. */
const units = (dimensions: readonly Dimension[]): Candidate[] =>
  [...new Set(dimensions)]
    .flatMap((dimension) => UNITS.filter((unit) => unit.dimension === dimension))
    .map((unit, i) => ({
      label: unit.symbol,
      kind: 'unit',
      insert: unit.symbol,
      detail: unit.say,
      documentation: () => unitText(unit),
      rank: i / 100,
    }));

/** The last thing measured that an item names. */
function analyteBefore(item: readonly Token[]): Analyte | undefined {
  let found: Analyte | undefined;
  for (let i = 0; i < item.length; i++) {
    for (const length of [3, 2, 1]) {
      const words = item.slice(i, i + length);
      if (words.length < length || words.some((token) => token.tokenType !== WordToken)) continue;
      const analyte = findAnalyte(words.map(({ image }) => image).join(' '));
      if (analyte === undefined) continue;
      found = analyte;
      i += length - 1;
      break;
    }
    const token = item[i];
    const next = item[i + 1];
    // a figure ends what was measured before it
    if (token?.tokenType === NumberToken && next !== undefined && next.tokenType !== DotDotToken) found = undefined;
  }
  return found;
}
