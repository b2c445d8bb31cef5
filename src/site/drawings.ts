/** Charts in the two widths a page needs: on a phone a drawing of its own, so that its words stay readable. */
import { compositionBar } from '../charts/composition-bar.ts';
import { fermentCurve } from '../charts/ferment-curve.ts';
import { fullness } from '../charts/fullness.ts';
import type { Frame } from '../charts/svg.ts';
import { volumeSteps } from '../charts/volume-steps.ts';
import { volumeWaterfall } from '../charts/volume-waterfall.ts';
import type { CompositionBar, FermentCurve, Fullness, VolumeSteps, VolumeWaterfall } from '../report/charted.ts';

const WIDE = 720;
/** Two of these stand side by side on a desk. */
const HALF = 520;
/** A phone of 360 pixels less the page's margins. */
const NARROW = 328;

export interface Drawings {
  readonly ferment: (data: FermentCurve) => string;
  readonly steps: (data: VolumeSteps) => string;
  readonly waterfall: (data: VolumeWaterfall) => string;
  readonly composition: (data: CompositionBar) => string;
  readonly gauge: (data: Fullness) => string;
}

/** The charts of one page: a page has each once, so its name serves as its id. */
export const drawings: Drawings = {
  ferment: (data) => both('ferment', WIDE, (frame) => fermentCurve(data, frame)),
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
