/** How full a vessel is, for its picture and in words. */
import type { VesselRecord } from '../cellar/book.ts';
import type { Fullness } from './charted.ts';
import { lotOf, type ReportContext, tintOf } from './context.ts';
import { percentText, volumeText } from './figures.ts';

export function shareFull({ content, facts }: VesselRecord): number {
  return facts.capacity > 0 ? content.volume / facts.capacity : 0;
}

export function fullnessOf(context: ReportContext, vessel: VesselRecord): Fullness {
  const lot = lotOf(context, vessel.lot);
  const share = shareFull(vessel);
  return {
    kind: vessel.facts.kind,
    share,
    text: `${vessel.facts.name} ${vessel.content.volume === 0 ? 'empty' : `${percentText(share)} full`}`,
    tint: tintOf(lot),
    fermenting: lot?.stage === 'fermenting',
    estimated: vessel.estimated,
  };
}

/** `812 of 1200 L, 68 % full`; a volume that follows from an estimate says so. */
export function fillText(context: ReportContext, vessel: VesselRecord): string {
  const { settings } = context;
  const held = volumeText(vessel.content.volume, settings, vessel.estimated);
  const room = volumeText(vessel.facts.capacity, settings);
  return `${held.replace(/ \S+$/u, '')} of ${room}, ${percentText(shareFull(vessel))} full`;
}
