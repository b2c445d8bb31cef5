/** Charts in the two widths a page needs: on a phone a drawing of its own, so that its words stay readable. */
import { barrelCell, barrelStrip } from '../charts/barrel-strip.ts';
import { compositionBar } from '../charts/composition-bar.ts';
import { falling } from '../charts/falling.ts';
import { fermentCurve } from '../charts/ferment-curve.ts';
import { ferments } from '../charts/ferments.ts';
import { fullness } from '../charts/fullness.ts';
import { lineage } from '../charts/lineage.ts';
import { ripening } from '../charts/ripening.ts';
import { seasonCalendar } from '../charts/season-calendar.ts';
import { sulfurDioxide } from '../charts/sulfur-dioxide.ts';
import type { Frame } from '../charts/svg.ts';
import { volumeSteps } from '../charts/volume-steps.ts';
import { volumeWaterfall } from '../charts/volume-waterfall.ts';
import type {
  BarrelStrip,
  CompositionBar,
  Falling,
  FermentCurve,
  Ferments,
  Fullness,
  Lineage,
  Ripening,
  SeasonCalendar,
  SulfurDioxide,
  VolumeSteps,
  VolumeWaterfall,
} from '../report/charted.ts';

const WIDE = 720;
/** Two of these stand side by side on a desk. */
const HALF = 520;
/** A phone of 360 pixels less the page's margins. */
const NARROW = 328;

/** A path from the site's root as the page must write it. */
type To = (href: string) => string;

/** A page that has a chart more than once gives each an `id` of its own. */
export interface Drawings {
  readonly ferment: (data: FermentCurve) => string;
  readonly ferments: (data: Ferments, to: To) => string;
  readonly sulfur: (data: SulfurDioxide, id?: string) => string;
  readonly falling: (data: Falling, id?: string) => string;
  readonly ripening: (data: Ripening, id?: string) => string;
  readonly lineage: (data: Lineage, to: To) => string;
  readonly calendar: (data: SeasonCalendar, id?: string) => string;
  readonly barrel: (data: BarrelStrip, to: To) => string;
  readonly barrelCell: (data: BarrelStrip) => string;
  readonly steps: (data: VolumeSteps) => string;
  readonly waterfall: (data: VolumeWaterfall) => string;
  readonly composition: (data: CompositionBar) => string;
  readonly gauge: (data: Fullness) => string;
}

/** The charts of one page: a page has most of them once, so the chart's name serves as its id. */
export const drawings: Drawings = {
  ferment: (data) => both('ferment', WIDE, (frame) => fermentCurve(data, frame)),
  ferments: (data, to) => both('ferments', WIDE, (frame) => ferments(data, { ...frame, to })),
  sulfur: (data, id = 'sulfur') => both(id, WIDE, (frame) => sulfurDioxide(data, frame)),
  falling: (data, id = 'falling') => both(id, WIDE, (frame) => falling(data, frame)),
  ripening: (data, id = 'ripening') => both(id, WIDE, (frame) => ripening(data, frame)),
  lineage: (data, to) => both('lineage', WIDE, (frame) => lineage(data, { ...frame, to })),
  calendar: (data, id = 'calendar') => both(id, WIDE, (frame) => seasonCalendar(data, frame)),
  barrel: (data, to) => both('barrel', WIDE, (frame) => barrelStrip(data, { ...frame, to })),
  barrelCell,
  steps: (data) => both('steps', HALF, (frame) => volumeSteps(data, frame)),
  waterfall: (data) => both('waterfall', HALF, (frame) => volumeWaterfall(data, frame)),
  composition: (data) => both('composition', WIDE, (frame) => compositionBar(data, frame)),
  gauge: fullness,
};

function both(id: string, wide: number, draw: (frame: Frame) => string): string {
  return (
    `<div class="wide">${draw({ id: `${id}-w`, width: wide })}</div>` +
    `<div class="narrow">${draw({ id: `${id}-n`, width: NARROW })}</div>`
  );
}
