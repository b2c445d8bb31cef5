/** Exact arithmetic of what a vessel holds: draws and pours conserve every microlitre of every origin. */
import { splitByShares } from '../trade/decimal.ts';
import type { Content } from './book.ts';

/** The origin of water and solutions: volume without origin. */
export const ADDED_LIQUID = -1;

export const emptyContent = (): Content => ({
  volume: 0,
  slack: 0,
  origins: [],
  volumes: [],
  materials: [],
  amounts: [],
});

/** Content of a volume that is split over origins by whole-number shares. */
export function contentOf(
  volume: number,
  slack: number,
  origins: readonly number[],
  shares: readonly number[],
): Content {
  return { volume, slack, origins: [...origins], volumes: splitByShares(volume, shares), materials: [], amounts: [] };
}

/**
 * Draws a volume of no more than what is there, with its part of everything in it, by cumulative floor cuts.
 * What is drawn by measure carries no slack; the doubt stays with what is left, and goes with the wine when all is drawn.
 */
export function draw(from: Content, volume: number, slack = 0): Content {
  const all = volume >= from.volume;
  if (all) {
    const drawn: Content = { ...from, volume: from.volume, slack: Math.max(slack, from.slack) };
    from.volume = 0;
    from.slack = 0;
    from.origins = [];
    from.volumes = [];
    from.materials = [];
    from.amounts = [];
    return drawn;
  }
  const share = volume / from.volume;
  const volumes = splitByShares(volume, from.volumes);
  const amounts: number[] = [];
  for (let i = 0; i < from.amounts.length; i++) {
    const here = from.amounts[i] ?? 0;
    const part = Math.floor(here * share);
    amounts.push(part);
    from.amounts[i] = here - part;
  }
  const drawn: Content = {
    volume,
    slack,
    origins: [...from.origins],
    volumes,
    materials: [...from.materials],
    amounts,
  };
  for (let i = 0; i < volumes.length; i++) from.volumes[i] = (from.volumes[i] ?? 0) - (volumes[i] ?? 0);
  from.volume -= volume;
  from.slack = from.volume === 0 ? 0 : from.slack + slack;
  return drawn;
}

/** Pours one content into another; origins and materials of the same kind join. */
export function pour(into: Content, added: Content): void {
  into.volume += added.volume;
  into.slack += added.slack;
  for (let i = 0; i < added.origins.length; i++)
    addOrigin(into, added.origins[i] ?? ADDED_LIQUID, added.volumes[i] ?? 0);
  for (let i = 0; i < added.materials.length; i++) addMaterial(into, added.materials[i] ?? 0, added.amounts[i] ?? 0);
}

function addOrigin(content: Content, origin: number, volume: number): void {
  if (volume === 0) return;
  const at = content.origins.indexOf(origin);
  if (at === -1) {
    content.origins.push(origin);
    content.volumes.push(volume);
  } else content.volumes[at] = (content.volumes[at] ?? 0) + volume;
}

/** Adds an amount of a material; `key` tells materials and the units they are counted in apart. */
export function addMaterial(content: Content, key: number, amount: number): void {
  if (amount === 0) return;
  const at = content.materials.indexOf(key);
  if (at === -1) {
    content.materials.push(key);
    content.amounts.push(amount);
  } else content.amounts[at] = (content.amounts[at] ?? 0) + amount;
}

/** Adds volume without origin. */
export function addLiquid(content: Content, volume: number): void {
  content.volume += volume;
  addOrigin(content, ADDED_LIQUID, volume);
}

/** Sets the volume to what was measured, every origin in proportion; materials stay. The content must not be empty. */
export function scale(content: Content, volume: number): void {
  const volumes = splitByShares(volume, content.volumes);
  content.volumes = volumes;
  content.volume = volume;
  const kept = volumes.map((v, i) => [content.origins[i] ?? ADDED_LIQUID, v] as const).filter(([, v]) => v > 0);
  content.origins = kept.map(([origin]) => origin);
  content.volumes = kept.map(([, v]) => v);
}

/** Gives every origin another id, as when wine is drained or pressed. */
export function mapOrigins(content: Content, to: (origin: number) => number): void {
  const { origins, volumes } = content;
  content.origins = [];
  content.volumes = [];
  for (let i = 0; i < origins.length; i++) {
    const origin = origins[i] ?? ADDED_LIQUID;
    addOrigin(content, origin === ADDED_LIQUID ? origin : to(origin), volumes[i] ?? 0);
  }
}

/** How a material is counted in a content. */
export type MaterialUnit = 'µg' | 'µL' | 'pieces';
const UNITS: readonly MaterialUnit[] = ['µg', 'µL', 'pieces'];

/** Pieces are counted in thousandths, so that a part of a tablet goes with a part of the wine. */
export const PIECE = 1000;

export const materialKey = (material: number, unit: MaterialUnit): number =>
  material * UNITS.length + UNITS.indexOf(unit);
export const materialOf = (key: number): number => Math.floor(key / UNITS.length);
export const unitOf = (key: number): MaterialUnit => UNITS[key % UNITS.length] ?? 'µg';
