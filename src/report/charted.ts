/** The plain data that charts draw: what a page model hands on. Types only. */
import type { Minute } from '../journal/events.ts';

export interface CurvePoint {
  readonly minute: Minute;
  readonly value: number;
}

export interface CurveSeries {
  /** The vessel, or the lot where a reading was of all of it. */
  readonly name: string;
  readonly points: readonly CurvePoint[];
}

/** Something done at a moment, marked beneath a curve. */
export interface Mark {
  readonly minute: Minute;
  readonly label: string;
}

/** One strip of marks: all of one sort. */
export interface MarkStrip {
  readonly name: string;
  readonly shape: MarkShape;
  readonly marks: readonly Mark[];
}

export type MarkShape = 'diamond' | 'triangle' | 'circle' | 'square' | 'stroke' | 'cross';

export interface FermentCurve {
  readonly title: string;
  /** What the sugar axis shows: `°Bx`, `SG`, `°Oe`. */
  readonly unit: string;
  readonly sugar: readonly CurveSeries[];
  readonly temperatureUnit: string;
  readonly temperature: readonly CurveSeries[];
  readonly strips: readonly MarkStrip[];
}

export interface VolumePoint {
  readonly minute: Minute;
  /** In the report's unit. */
  readonly volume: number;
  readonly estimated: boolean;
}

export interface VolumeSteps {
  readonly title: string;
  readonly unit: string;
  readonly points: readonly VolumePoint[];
  /** The day the record tells of: the last step lasts until then. */
  readonly until: Minute;
}

/** One bar of a waterfall. Signed: what came in is above zero, what went out below; a level is what there is then. */
export interface WaterfallRow {
  readonly label: string;
  readonly kind: 'in' | 'out' | 'level';
  readonly value: number;
  /** The figure as the page words it. */
  readonly text: string;
}

export interface VolumeWaterfall {
  readonly title: string;
  readonly unit: string;
  readonly rows: readonly WaterfallRow[];
}

export interface CompositionPart {
  /** A letter that ties the bar to its table. */
  readonly letter: string;
  readonly label: string;
  /** Of one. */
  readonly share: number;
  readonly text: string;
}

export interface CompositionBar {
  readonly title: string;
  readonly parts: readonly CompositionPart[];
}

export type Tint = 'red' | 'white' | 'rosé' | 'plain';

export interface Fullness {
  readonly kind: string;
  /** Of one; above one where the book says more is in it than it takes. */
  readonly share: number;
  readonly text: string;
  readonly tint: Tint;
  readonly fermenting: boolean;
  readonly estimated: boolean;
}
