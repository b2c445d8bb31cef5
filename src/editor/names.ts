/** What the names of a journal stand for, at any moment: where each was given, and every place that uses it. */

import type { Word } from '../../grammar/entries.ts';
import { readLine } from '../../grammar/read.ts';
import type { VerbWord } from '../../grammar/words.ts';
import { fold } from '../../grammar/words.ts';
import type { LotId, MaterialId, Place, VesselId } from '../journal/events.ts';
import { type Named, rangeNames } from '../journal/names.ts';
import type { Renaming } from './annals.ts';
import { type Mention, mentionsOf, placesOf, type Space } from './mentions.ts';
import {
  beginningOf,
  compareMoments,
  type FileSpot,
  lineStarts,
  type Moment,
  OWNERS,
  openingVerb,
  type Spot,
  spotAt,
  spotsOf,
} from './spots.ts';
import type { Known, Study } from './study.ts';

/** What a name stands for. Names of people and of plans are what they are called. */
export type Thing =
  | { readonly kind: 'vessel'; readonly id: VesselId }
  | { readonly kind: 'lot'; readonly id: LotId }
  | { readonly kind: 'block'; readonly id: number }
  | { readonly kind: 'sample'; readonly id: number }
  | { readonly kind: 'material'; readonly id: MaterialId }
  | { readonly kind: 'hand'; readonly id: string }
  | { readonly kind: 'plan'; readonly id: string };

export const sameThing = (a: Thing, b: Thing): boolean => a.kind === b.kind && a.id === b.id;

/** A part of a file's text. */
export interface Range {
  readonly file: number;
  /** Offsets into the file's text. */
  readonly start: number;
  readonly end: number;
}

/** A place that names something. */
export interface Use extends Range {
  /** As written, quotes taken off. */
  readonly name: string;
  readonly gives: boolean;
  /** It is named by a range: nothing stands there that could be written otherwise. */
  readonly inRange: boolean;
  /** The first or the last name of a range. */
  readonly endsRange: boolean;
}

interface Given {
  readonly thing: Thing;
  /** The name holds from here on; undefined: from where it was given. */
  readonly since: Moment | undefined;
}

/** Every name of the record, with what it stood for and since when. */
export class Names {
  private readonly known: Known;
  private readonly study: Study;
  private readonly byName = new Map<string, Given[]>();

  constructor(study: Study, known: Known) {
    this.study = study;
    this.known = known;
    const { register, annals } = known;
    const renamings: Renaming[] = [];
    for (let one = annals.renamings; one !== undefined; one = one.earlier) renamings.unshift(one);
    const first = new Map<string, string>();
    const keyOf = (target: Renaming['target']): string =>
      target?.kind === 'vessel' ? `vessel ${target.vessel}` : target?.kind === 'lot' ? `lot ${target.lot}` : '';
    for (const { target, from } of renamings) if (!first.has(keyOf(target))) first.set(keyOf(target), from);
    for (const { id, name } of register.vessels) this.give(first.get(`vessel ${id}`) ?? name, { kind: 'vessel', id });
    for (const { id, name } of register.lots) this.give(first.get(`lot ${id}`) ?? name, { kind: 'lot', id });
    for (const [id, { name }] of register.blocks.entries()) this.give(name, { kind: 'block', id });
    for (const [id, { name }] of register.samples.entries()) this.give(name, { kind: 'sample', id });
    for (const { target, to, minute, place } of renamings) {
      const since = { minute, ...place };
      if (target?.kind === 'vessel') this.give(to, { kind: 'vessel', id: target.vessel }, since);
      else if (target?.kind === 'lot') this.give(to, { kind: 'lot', id: target.lot }, since);
    }
  }

  private give(name: string, thing: Thing, since?: Moment): void {
    const key = fold(name);
    const known = this.byName.get(key);
    if (known === undefined) this.byName.set(key, [{ thing, since }]);
    else known.push({ thing, since });
  }

  /** What a name of a space stands for at a moment; where it was given later only, what it stands for then. */
  thing(space: Space, name: string, at: Moment | undefined): Thing | undefined {
    const { register } = this.known;
    switch (space) {
      case 'material': {
        const id = register.material(name);
        return id === undefined ? undefined : { kind: 'material', id };
      }
      case 'hand': {
        const id = register.hand(name);
        return id === undefined ? undefined : { kind: 'hand', id };
      }
      case 'plan': {
        const plan = register.plan(name);
        return plan === undefined ? undefined : { kind: 'plan', id: fold(plan.name) };
      }
      case 'place':
        return this.place(name, at);
    }
  }

  /** Whether a name has stood for one thing only, at whatever moment. */
  isOneThing(space: Space, name: string): boolean {
    return space !== 'place' || (this.byName.get(fold(name))?.length ?? 0) <= 1;
  }

  private place(name: string, at: Moment | undefined): Thing | undefined {
    const all = this.byName.get(fold(name)) ?? [];
    const [only, more] = all;
    if (more === undefined || at === undefined) return only?.thing;
    const dated = all.map(({ thing, since }) => ({ thing, since: since ?? this.momentOf(thing) }));
    dated.sort((a, b) => compareMoments(a.since, b.since));
    return (dated.findLast(({ since }) => compareMoments(since, at) <= 0) ?? dated[0])?.thing;
  }

  /** The line that gave something its first name. */
  placeOf(thing: Thing): Place | undefined {
    const { register } = this.known;
    switch (thing.kind) {
      case 'material':
        return register.materials[thing.id]?.place;
      case 'plan':
        return register.plans.find(({ name }) => fold(name) === thing.id)?.place;
      case 'hand':
        return undefined;
      default:
        return register.placeOf(thing satisfies Named);
    }
  }

  /** When something was given its first name. */
  private momentOf(thing: Thing): Moment {
    const place = this.placeOf(thing) ?? { file: 0, line: 0 };
    const text = this.study.files[place.file]?.text ?? '';
    const spot = spotAt(this.study, place.file, lineStarts(text)[place.line - 1] ?? 0);
    return { minute: spot?.last?.minute ?? beginningOf(this.study), ...place };
  }

  /** Every name something has had, in the form names are compared in. */
  namesOf(thing: Thing): Set<string> {
    const { register } = this.known;
    if (thing.kind === 'material') return new Set([fold(register.materials[thing.id]?.name ?? '')]);
    if (thing.kind === 'hand' || thing.kind === 'plan') return new Set([fold(thing.id)]);
    const names = new Set<string>();
    for (const [name, all] of this.byName) if (all.some((one) => sameThing(one.thing, thing))) names.add(name);
    return names;
  }

  /** What something is called at the end of the record. */
  nameOf(thing: Thing): string {
    const { register } = this.known;
    switch (thing.kind) {
      case 'material':
        return register.materials[thing.id]?.name ?? '';
      case 'hand':
        return thing.id;
      case 'plan':
        return register.plans.find(({ name }) => fold(name) === thing.id)?.name ?? thing.id;
      default:
        return register.nameOf(thing);
    }
  }
}

export const spaceOfThing = ({ kind }: Thing): Space =>
  kind === 'material' || kind === 'hand' || kind === 'plan' ? kind : 'place';

/** A name at a place of a line, with what it stands for. */
export interface Meant {
  readonly mention: Mention;
  readonly thing: Thing;
  /** The name under the cursor, and where it stands in the line. */
  readonly name: string;
  readonly start: number;
  readonly end: number;
}

/** The name at an offset of a line. */
export function meantAt(spot: Spot, names: Names): Meant | undefined {
  if (spot.read === undefined) return undefined;
  for (const mention of mentionsOf(spot.read.line, spot.owner?.verb)) {
    for (const { start, end, name } of placesOf(mention)) {
      if (spot.offset < start || spot.offset > end) continue;
      const thing = names.thing(mention.space, name, spot.last);
      if (thing !== undefined) return { mention, thing, name, start, end };
    }
  }
  return undefined;
}

/** Whether a range names something that does not stand at one of its ends. */
function within(word: Word, wanted: ReadonlySet<string>): string | undefined {
  if (word.to === undefined) return undefined;
  const expanded = rangeNames(word.text, word.to);
  if ('problem' in expanded) return undefined;
  return expanded.names.slice(1, -1).find((name) => wanted.has(fold(name)));
}

/** The verb of the entry that a row belongs to, looked for upwards from it. */
export class OwnerAbove {
  private above: string | undefined;
  private known: VerbWord | undefined;

  /** Takes in the next line of a file; a day begins anew. */
  see(spot: FileSpot): void {
    if (spot.kind === 'day') this.above = undefined;
    else if (spot.kind === 'said' && openingVerb(spot.text) !== undefined) this.above = spot.text;
    else return;
    this.known = undefined;
  }

  get verb(): VerbWord | undefined {
    if (this.above === undefined || this.known !== undefined) return this.known;
    const { line } = readLine(this.above);
    if (line.type === 'entry' && OWNERS.has(line.verb)) this.known = line.verb;
    // lines of their own leave the entry they stand below in place
    else if (line.type === 'entry' && line.verb === 'choose') this.known = 'trial';
    return this.known;
  }
}

/** Every place of the journal, or of one of its files, that names something, in the order of files and lines. */
export function usesOf(study: Study, names: Names, thing: Thing, only?: number): Use[] {
  const wanted = names.namesOf(thing);
  const space = spaceOfThing(thing);
  const uses: Use[] = [];
  const told = (text: string): boolean => {
    const folded = fold(text);
    for (const name of wanted) if (hasWord(folded, name)) return true;
    return thing.kind === 'vessel' && text.includes('..');
  };
  for (const [file, { text }] of study.files.entries()) {
    if ((only !== undefined && file !== only) || !told(text)) continue;
    const owner = new OwnerAbove();
    for (const spot of spotsOf(study, file)) {
      const above = owner.verb;
      owner.see(spot);
      if (spot.kind !== 'said' || !told(spot.text)) continue;
      const { line } = readLine(spot.text);
      let moment: Moment | undefined;
      for (const mention of mentionsOf(line, above)) {
        if (mention.space !== space) continue;
        const { word, gives } = mention;
        const at = (start: number, end: number): Range => ({ file, start: spot.start + start, end: spot.start + end });
        const isIt = (name: string): boolean => {
          if (!wanted.has(fold(name))) return false;
          if (!names.isOneThing(space, name)) moment ??= spotAt(study, file, spot.start)?.last;
          const meant = names.thing(space, name, moment);
          return meant !== undefined && sameThing(meant, thing);
        };
        let found = false;
        for (const { start, end, name } of placesOf(mention)) {
          if (!isIt(name)) continue;
          found = true;
          uses.push({ ...at(start, end), name, gives, inRange: false, endsRange: word.to !== undefined });
        }
        const inner = found || thing.kind !== 'vessel' ? undefined : within(word, wanted);
        if (inner !== undefined && isIt(inner))
          uses.push({ ...at(word.start, word.end), name: inner, gives, inRange: true, endsRange: false });
      }
    }
  }
  return uses;
}

/** Where something was given its name: the word on the line that did it. */
export function declarationOf(study: Study, names: Names, thing: Thing): Range | undefined {
  const place = names.placeOf(thing);
  if (place === undefined) return usesOf(study, names, thing).find(({ gives }) => gives);
  const wanted = names.namesOf(thing);
  const space = spaceOfThing(thing);
  for (const spot of spotsOf(study, place.file)) {
    if (spot.line !== place.line || spot.kind !== 'said') continue;
    const all = mentionsOf(readLine(spot.text).line, undefined).filter((mention) => mention.space === space);
    const isIt = ({ word }: Mention): boolean =>
      placesOf({ space, word, gives: true, maybe: false }).some(({ name }) => wanted.has(fold(name))) ||
      within(word, wanted) !== undefined;
    const found = all.find((mention) => mention.gives && isIt(mention)) ?? all.find(isIt);
    const { start, end } = found?.word ?? { start: 0, end: spot.text.length };
    return { file: spot.file, start: spot.start + start, end: spot.start + end };
  }
  return undefined;
}

const IN_WORD = /[\p{L}\p{N}_]/u;

/** Whether a word stands in a text, both in the form names are compared in. */
function hasWord(text: string, word: string): boolean {
  for (let at = text.indexOf(word); at !== -1; at = text.indexOf(word, at + 1)) {
    if (!IN_WORD.test(text.charAt(at - 1)) && !IN_WORD.test(text.charAt(at + word.length))) return true;
  }
  return false;
}
