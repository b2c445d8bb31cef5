/** One entry on its way to an event: looks its names up, makes its amounts exact, and keeps the first thing that fails. */
import type { Code } from '../../grammar/codes.ts';
import { parseDate } from '../../grammar/dates.ts';
import type { Amount, Entry, Item, Part, Phrase, Span, Word } from '../../grammar/entries.ts';
import { asWritten, type Fix, instead, insteadIf } from '../../grammar/fixes.ts';
import { mayBeName } from '../../grammar/read.ts';
import { distance, nearest } from '../../grammar/suggest.ts';
import { findUnit } from '../../grammar/units.ts';
import { type ClauseWord, type LinkWord, VERBS } from '../../grammar/words.ts';
import { readBase } from '../trade/convert.ts';
import { findSubstance } from '../trade/substances.ts';
import type {
  Event,
  EventBase,
  LotId,
  MaterialId,
  Micrograms,
  Microlitres,
  Minute,
  Mutable,
  Place,
  Share,
  Target,
  VolumeSaid,
} from './events.ts';
import { substanceFacts } from './materials.ts';
import { type Named, type Register, rangeHelp, rangeMeant, shapeOf } from './names.ts';

/** Something to say of a span of the line; `name` is set where an unknown name is the cause. */
export interface LineProblem extends Span {
  readonly code: Code;
  readonly message: string;
  readonly help?: string;
  readonly fixes?: readonly Fix[];
  readonly related?: { readonly place: Place; readonly message: string };
  readonly name?: string;
}

const SAY_KIND: Readonly<Record<Named['kind'], string>> = {
  vessel: 'a vessel',
  lot: 'a lot',
  block: 'a block',
  sample: 'a sample',
};

export const textOf = (part: Part | undefined): string =>
  part === undefined || part.type === 'amount' ? '' : part.text;

const NO_REMARKS: readonly LineProblem[] = [];

export class Line {
  readonly entry: Entry;
  readonly register: Register;
  readonly place: Place;
  readonly minute: Minute;
  /** The file's text, and where the line begins in it. */
  readonly source: string;
  readonly start: number;
  /** The first thing that failed; the line then does not count. */
  failure: LineProblem | undefined;
  /** What is to be said without costing the line. */
  remarks: readonly LineProblem[] = NO_REMARKS;

  constructor(entry: Entry, register: Register, place: Place, minute: Minute, source: string, start: number) {
    this.entry = entry;
    this.register = register;
    this.place = place;
    this.minute = minute;
    this.source = source;
    this.start = start;
  }

  /** The line as written, for what is kept as it stands. */
  text(): string {
    const end = this.source.indexOf('\n', this.start);
    return this.source.slice(this.start, end === -1 ? undefined : end).replace(/\r$/, '');
  }

  fail(problem: LineProblem): undefined {
    this.failure ??= problem;
    return undefined;
  }

  /** Says something without costing the line. */
  remark(problem: LineProblem): void {
    this.remarks = [...this.remarks, problem];
  }

  phrase(word: LinkWord | ClauseWord): Phrase | undefined {
    return this.entry.phrases.find((phrase) => phrase.word === word);
  }

  has(word: LinkWord | ClauseWord): boolean {
    return this.phrase(word) !== undefined;
  }

  items(word: LinkWord | ClauseWord): readonly Item[] {
    return this.phrase(word)?.items ?? [];
  }

  /** The words of a phrase as one text, quotes taken off. */
  words(word: LinkWord | ClauseWord): string | undefined {
    const items = this.phrase(word)?.items;
    if (items === undefined || items.length === 0) return undefined;
    return items.map((item) => item.parts.map(sayPart).join(' ')).join(', ');
  }

  /** The first amount of a phrase. */
  amount(word: LinkWord | ClauseWord): Amount | undefined {
    for (const item of this.items(word)) {
      for (const part of item.parts) if (part.type === 'amount' && part.quant === undefined) return part;
    }
    return undefined;
  }

  // amounts

  /** Whole base units of what a number and its unit say. */
  base(amount: Amount): number {
    const unit = amount.unit === undefined ? undefined : findUnit(amount.unit);
    const base = unit === undefined ? undefined : readBase(amount.text, unit);
    if (base === undefined) {
      this.fail({
        start: amount.start,
        end: amount.end,
        code: 'amount-out-of-range',
        message: `\`${amount.text} ${amount.unit ?? ''}\` is beyond what can be counted`,
        help: 'mend the figure',
      });
      return 0;
    }
    return base;
  }

  /** Base units of the amount a phrase gives, if it stands. */
  given(word: LinkWord | ClauseWord): number | undefined {
    const amount = this.amount(word);
    return amount === undefined ? undefined : this.base(amount);
  }

  /** A whole number without a unit, as a number of bins. */
  whole(word: LinkWord | ClauseWord): number | undefined {
    const amount = this.amount(word);
    return amount === undefined ? undefined : Math.round(amount.value);
  }

  /** A year of four digits. */
  year(word: LinkWord | ClauseWord): number | undefined {
    const amount = this.amount(word);
    if (amount === undefined || (Number.isInteger(amount.value) && amount.value >= 1900 && amount.value <= 2200))
      return amount?.value;
    const full = /^\d\d$/.test(amount.text) ? `20${amount.text}` : '2026';
    return this.fail({
      start: amount.start,
      end: amount.end,
      code: 'amount-out-of-range',
      message: `\`${amount.text}\` is no year`,
      help: `write it with four digits: \`${word} ${full}\``,
      ...(full === '2026' ? {} : instead(amount, full)),
    });
  }

  volume(amount: Amount, each: boolean): VolumeSaid {
    return { microlitres: this.base(amount) as Microlitres, estimate: amount.mark === '~', each, now: amount.now };
  }

  date(word: LinkWord | ClauseWord): number | undefined {
    const part = this.items(word)[0]?.parts[0];
    if (part === undefined || part.type !== 'date') return undefined;
    const day = parseDate(part.text);
    if (!Number.isNaN(day)) return day;
    return this.fail({
      ...part,
      code: 'date-impossible',
      message: `there is no day \`${part.text}\``,
      help: 'write a day that exists, as 2026-09-14',
    });
  }

  // names

  unknown(word: Span & { readonly text: string }, kinds: readonly Named['kind'][], name = word.text): undefined {
    const near = nearest(name, this.register.placeNames(kinds));
    const range = /^([^-]*\d)-([^-]*\d)$/.exec(name);
    const meant =
      range !== null && this.register.place(range[1] ?? '') !== undefined ? `${range[1]}..${range[2]}` : undefined;
    const asRange = meant === undefined ? undefined : `write \`${meant}\` for a range`;
    const now = this.register.nowCalled(name) ?? (near !== undefined && isNumbered(near, name) ? undefined : near);
    const told = kinds.map((kind) => SAY_KIND[kind].replace(/^a /, ''));
    return this.fail({
      start: word.start,
      end: word.end,
      code: 'name-unknown',
      message: `there is no ${told.slice(0, 2).join(' or ')} \`${name}\``,
      help: asRange ?? this.unknownHelp(name, kinds, near),
      ...insteadIf(word, meant ?? (now === undefined ? undefined : asWritten(now))),
      name,
    });
  }

  private unknownHelp(name: string, kinds: readonly Named['kind'][], near: string | undefined): string {
    const now = this.register.nowCalled(name);
    if (now !== undefined) return `it was renamed: write \`${now}\``;
    const quoted = mayBeWord(name) ? name : `"${name}"`;
    const declare = kinds.includes('vessel')
      ? `declare it: \`vessel ${quoted} tank 1200 L\``
      : kinds.includes('block')
        ? `declare it: \`block ${quoted} Syrah\``
        : undefined;
    if (near === undefined)
      return declare === undefined
        ? 'mend the name; a lot begins with `receive`, `bring`, `found` or `as`'
        : `${declare}, or mend the name`;
    return declare === undefined || !isNumbered(near, name)
      ? `did you mean \`${near}\`?`
      : `did you mean \`${near}\`? Else ${declare}`;
  }

  /** A row of a table that begins with nothing known: a verb misspelt, or a vessel. */
  unknownRow(word: Word): undefined {
    const near = nearest(word.text, [...VERBS, ...this.register.placeNames(['vessel', 'lot', 'sample'])]);
    return this.fail({
      start: word.start,
      end: word.end,
      code: 'verb-unknown',
      message: `\`${word.text}\` is neither a verb nor a vessel here`,
      help:
        near === undefined
          ? 'begin the line with a verb, or with a vessel of the table above'
          : `did you mean \`${near}\`?`,
      ...insteadIf(word, near === undefined ? undefined : asWritten(near)),
      name: word.text,
    });
  }

  wrongKind(word: Span & { readonly text: string }, is: Named['kind'], needed: string): undefined {
    return this.fail({
      start: word.start,
      end: word.end,
      code: 'name-wrong-kind',
      message: `\`${word.text}\` is ${SAY_KIND[is]}, not ${needed.replace(' or a ', ' nor a ')}`,
      help: `name ${needed}`,
    });
  }

  /** The vessels or the lot a word names; a range gives its members. */
  targets(part: Part, blocks = false): readonly Target[] | undefined {
    if (part.type !== 'word' && part.type !== 'string') {
      return this.fail({
        start: part.start,
        end: part.end,
        code: 'line-malformed',
        message: 'a vessel or a lot is named here, and a number stands',
        help: 'name it first, then its amount',
      });
    }
    if (part.to !== undefined) {
      const members = this.register.range(part.text, part.to);
      if (typeof members !== 'string') return members.map((vessel) => ({ kind: 'vessel', vessel }));
      for (const end of [part.text, part.to]) {
        if (this.register.place(end) !== undefined) continue;
        const last = this.register.lastOfSeries(end);
        const span = end === part.text ? { start: part.start, end: part.start + end.length } : endSpan(part, end);
        if (last === undefined) return this.unknown({ ...span, text: end }, ['vessel']);
        return this.fail({
          ...span,
          code: 'name-unknown',
          message: `there is no vessel \`${end}\``,
          help: `\`${last}\` is the last that is declared; mend the range, or declare more`,
          name: end,
        });
      }
      return this.fail({
        start: part.start,
        end: part.end,
        code: 'range-broken',
        message: `\`${part.text}..${part.to}\`: ${members}`,
        help: rangeHelp(part.text, part.to),
        ...insteadIf(part, rangeMeant(part.text, part.to)),
      });
    }
    const named = this.register.place(part.text);
    if (named === undefined) return this.unknown(part, ['vessel', 'lot']);
    if (named.kind === 'vessel') return [{ kind: 'vessel', vessel: named.id }];
    if (named.kind === 'lot') return [{ kind: 'lot', lot: named.id }];
    if (named.kind === 'block' && blocks) return [{ kind: 'block', block: named.id }];
    return this.wrongKind(part, named.kind, 'a vessel or a lot');
  }

  /** All targets of a list, each once. */
  allTargets(items: readonly Item[], blocks = false): Target[] {
    const all: Target[] = [];
    for (const item of items) for (const target of this.targets(item.parts[0], blocks) ?? []) all.push(target);
    return all;
  }

  /** One side of a movement: targets with the volume said for each item. */
  shares(items: readonly Item[], side: 'from' | 'to'): Share[] {
    const shares: Share[] = [];
    for (const item of items) {
      const targets = this.targets(item.parts[0]);
      if (targets === undefined) return shares;
      let amount: Amount | undefined;
      let quant: 'all' | 'rest' | undefined;
      let each = false;
      for (const part of item.parts) {
        if (part.type !== 'amount') continue;
        if (part.quant === 'each') each = true;
        else if (part.quant === 'all' || part.quant === 'rest') quant = part.quant;
        else if (part.ask !== true) amount = part;
      }
      if (amount !== undefined && amount.unit !== undefined && findUnit(amount.unit)?.dimension !== 'volume') {
        this.fail({
          start: amount.start,
          end: amount.end,
          code: 'unit-wrong-kind',
          message: `\`${amount.text} ${amount.unit}\` is no volume`,
          help: 'write it in `L`',
        });
      }
      if (amount !== undefined && !each && side === 'to' && targets.length > 1) {
        this.fail({
          start: amount.start,
          end: amount.end,
          code: 'parts-open',
          message: `${amount.text} ${amount.unit ?? ''} for ${targets.length} vessels: each, or in all?`,
          help: `write \`${amount.text} ${amount.unit ?? 'L'} each\`, or name every vessel with its own volume`,
          ...instead({ start: amount.end, end: amount.end }, ' each'),
        });
      }
      shares.push({
        targets,
        ...(amount === undefined ? {} : { volume: this.volume(amount, each) }),
        ...(quant === undefined ? {} : { quant }),
      });
    }
    return shares;
  }

  /** A name given here for a lot: a lot that is known already, or a new one. */
  lot(
    part: Part | undefined,
    options: { readonly bottling?: boolean; readonly fresh?: boolean } = {},
  ): LotId | undefined {
    if (part === undefined || part.type === 'amount') return undefined;
    const named = this.register.place(part.text);
    if (named !== undefined) {
      if (named.kind === 'lot') {
        const { bottling } = this.register.lot(named.id);
        if (options.bottling === undefined || bottling === options.bottling) return named.id;
        return this.fail({
          start: part.start,
          end: part.end,
          code: 'name-taken',
          message: `\`${part.text}\` is ${bottling ? 'in bottles' : 'a wine in vessels'} already`,
          help: bottling ? 'give the wine another name' : 'give the bottles another name',
          ...this.relatedTo(named),
        });
      }
      return this.fail({
        start: part.start,
        end: part.end,
        code: 'name-taken',
        message: `\`${part.text}\` is ${SAY_KIND[named.kind]} already and cannot be a lot`,
        help: 'take another name for the lot',
        ...this.relatedTo(named),
      });
    }
    if (this.failure !== undefined) return undefined;
    this.checkName(part);
    this.nearName(part);
    return this.register.addLot(part.text, this.place, this.minute, options.bottling === true);
  }

  relatedTo(named: Named): { related: { place: Place; message: string } } | object {
    const place = this.register.placeOf(named);
    return place === undefined
      ? {}
      : { related: { place, message: `\`${this.register.nameOf(named)}\` is named here` } };
  }

  checkName(part: Word): void {
    if (part.type === 'word' && !mayBeName(part.text)) {
      this.fail({
        start: part.start,
        end: part.end,
        code: 'word-reserved',
        message: `\`${part.text}\` is a reserved word and cannot be a name`,
        help: 'take another name',
      });
    }
  }

  /** A new name one letter from an old one is worth a look; a number more or less is how names go on. */
  private nearName(part: Word): void {
    const shape = shapeOf(part.text);
    const { shapes } = this.register;
    if (shape.length < 5 || shapes.has(shape)) return;
    for (const [other, name] of shapes) {
      if (Math.abs(other.length - shape.length) > 1 || other.charAt(0) !== shape.charAt(0)) continue;
      // `house-a` and `house-b` are told apart by their last letter
      if (shape.slice(0, -1) === other.slice(0, -1)) continue;
      if (distance(shape, other, 1) !== 1) continue;
      this.remark({
        start: part.start,
        end: part.end,
        code: 'name-near',
        message: `\`${part.text}\` is new and only a letter away from \`${name}\``,
        help: `write \`${name}\` if it is the same; else \`sic\` answers this`,
        ...instead(part, asWritten(name)),
      });
      return;
    }
  }

  /** A lot that is known, alone. */
  knownLot(part: Part | undefined): LotId | undefined {
    if (part === undefined || part.type === 'amount') return undefined;
    const named = this.register.place(part.text);
    if (named === undefined) return this.unknown(part, ['lot']);
    if (named.kind !== 'lot') return this.wrongKind(part, named.kind, 'a lot');
    return named.id;
  }

  /** A declared material, or a substance the tool knows by that name. */
  material(part: Part): MaterialId | undefined {
    if (part.type === 'amount') {
      return this.fail({
        start: part.start,
        end: part.end,
        code: 'line-malformed',
        message: 'a material is named here, and a number stands',
        help: 'name it first, then its amount: `kms 57 g`',
      });
    }
    const known = this.register.material(part.text);
    if (known !== undefined) return known;
    const substance = findSubstance(part.text) ?? findSubstance(`${part.text} acid`);
    if (substance !== undefined) return this.register.addMaterial({ ...substanceFacts(substance), name: part.text });
    const near = nearest(part.text, this.register.materialNameList());
    return this.fail({
      start: part.start,
      end: part.end,
      code: 'name-unknown',
      message: `there is no material \`${part.text}\``,
      help:
        near === undefined
          ? `declare it: \`material ${part.text} yeast\`, \`material ${part.text} is potassium metabisulfite\``
          : `did you mean \`${near}\`?`,
      ...insteadIf(part, near === undefined ? undefined : asWritten(near)),
      name: part.text,
    });
  }

  hands(): string[] {
    const hands: string[] = [];
    for (const item of this.items('by')) {
      const part = item.parts[0];
      const name = textOf(part);
      const known = this.register.hand(name);
      if (known !== undefined) hands.push(known);
      else {
        const near = nearest(name, this.register.hands);
        this.fail({
          start: part.start,
          end: part.end,
          code: 'name-unknown',
          message: `there is no hand \`${name}\``,
          help: near === undefined ? `declare the hand: \`hand ${name}\`` : `did you mean \`${near}\`?`,
          ...insteadIf(part, near === undefined ? undefined : asWritten(near)),
          name,
        });
      }
    }
    return hands;
  }

  private complete(note: string | undefined, into: EventBase): void {
    const { entry } = this;
    let hands = NO_HANDS;
    let sic = false;
    let written: number | undefined;
    let using: string | undefined;
    let purpose: string | undefined;
    for (const phrase of entry.phrases) {
      switch (phrase.word) {
        case 'by':
          hands = this.hands();
          break;
        case 'sic':
          sic = true;
          break;
        case 'written':
          written = this.date('written');
          break;
        case 'using':
          using = this.words('using');
          break;
        case 'for':
          purpose = this.words('for');
          break;
      }
    }
    const base: Mutable<EventBase> = into;
    base.verb = entry.verb;
    base.minute = this.minute;
    base.place = this.place;
    base.hands = hands;
    base.sic = sic;
    const { when } = entry;
    if (when?.until !== undefined) base.until = this.minute + when.until - (when.minutes[0] ?? 0);
    if (entry.remark !== undefined) base.remark = entry.remark;
    if (note !== undefined) base.note = note;
    if (written !== undefined) base.written = written;
    if (using !== undefined) base.using = using;
    if (purpose !== undefined) base.purpose = purpose;
  }

  /** What every event carries. */
  eventBase(note: string | undefined): EventBase {
    const base = { verb: this.entry.verb, minute: this.minute, place: this.place, hands: NO_HANDS, sic: false };
    this.complete(note, base);
    return base;
  }

  /** An event from what only its kind has; the commonest kinds are made so, since objects that are spread are slow. */
  event<E extends Event>(note: string | undefined, fields: Omit<E, keyof EventBase>): E {
    const event = fields as E;
    this.complete(note, event);
    return event;
  }

  mass(word: LinkWord | ClauseWord): Micrograms | undefined {
    return this.given(word);
  }
}

const NO_HANDS: readonly string[] = [];

/** Names that differ by a number are as likely to be two things as a slip. */
const isNumbered = (a: string, b: string): boolean => a.replace(/\d+/g, '') === b.replace(/\d+/g, '');

const mayBeWord = (name: string): boolean => /^\p{L}[\p{L}\p{M}\p{N}_/-]*$/u.test(name);

/** Where the end of a range stands. */
const endSpan = (part: Span, end: string): Span => ({ start: part.end - end.length, end: part.end });

/** A part as written, quotes taken off. */
export function sayPart(part: Part): string {
  if (part.type !== 'amount') return part.to === undefined ? part.text : `${part.text}..${part.to}`;
  if (part.quant !== undefined) return part.quant;
  if (part.ask === true) return '?';
  const number = [part.high === undefined ? part.text : `${part.text}..${part.high}`, ...(part.times ?? [])].join(
    ' x ',
  );
  return `${part.mark}${number}${part.unit === undefined ? '' : part.unit === '%' ? ' %' : ` ${part.unit}`}`;
}
