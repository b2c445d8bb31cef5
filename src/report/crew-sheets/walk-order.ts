/** Vessels in the order in which the cellar is walked. */
import { fold } from '../../../grammar/words.ts';
import type { Book, VesselRecord } from '../../cellar/book.ts';
import type { VesselId } from '../../journal/events.ts';
import { rangeNames } from '../../journal/names.ts';

/** Vessels, and places where vessels stand, as the walk passes them. */
export type Walk = readonly (VesselId | string)[];

/** The walk that words name: `T1..T9, tank room, B1..B20`; or the first part that names neither vessel nor place. */
export function walkOf(book: Book, words: string): Walk | { readonly unknown: string } {
  const vessels = new Map(book.vessels.map(({ facts }) => [fold(facts.name), facts.id]));
  const places = new Map(book.vessels.flatMap(({ facts: { at } }) => (at === undefined ? [] : [[fold(at), at]])));
  const walk: (VesselId | string)[] = [];
  for (const part of words.split(',').map((one) => one.trim().replace(/^"(.*)"$/u, '$1'))) {
    if (part === '') continue;
    const place = places.get(fold(part));
    const [from = '', to, ...more] = part.split('..');
    const range = to === undefined || more.length > 0 ? undefined : rangeNames(from, to);
    const names = range === undefined ? [part] : 'problem' in range ? [] : range.names;
    const found = names.flatMap((name) => vessels.get(fold(name)) ?? []);
    if (place !== undefined) walk.push(place);
    else if (found.length > 0) walk.push(...found);
    else return { unknown: part };
  }
  return walk;
}

/** Vessels sorted by a walk: those it does not pass come after it, as they are declared. */
export function inWalkOrder(vessels: readonly VesselRecord[], walk: Walk): VesselRecord[] {
  const steps = new Map<VesselId | string, number>();
  for (const [at, step] of walk.entries()) if (!steps.has(step)) steps.set(step, at);
  const stepOf = ({ facts }: VesselRecord): number =>
    // a vessel named by itself is passed there, wherever it stands
    steps.get(facts.id) ?? (facts.at === undefined ? undefined : steps.get(facts.at)) ?? walk.length;
  return [...vessels].sort((a, b) => stepOf(a) - stepOf(b) || a.facts.id - b.facts.id);
}
