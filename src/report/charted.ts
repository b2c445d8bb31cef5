/** The plain data that charts draw: what a page model hands on. Types only. */
import type { DayNumber, Minute } from '../journal/events.ts';

export interface CurvePoint {
  readonly minute: Minute;
  readonly value: number;
  /** Less than the method can tell: the value is its limit, and drawn hollow. */
  readonly below?: boolean;
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

/** A point of a fitted curve, with the bounds of its 95 % band. */
export interface ForecastPoint {
  readonly minute: Minute;
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** When a ferment is expected to be dry, and the first and last minute it may well be. */
export interface ExpectedDry {
  readonly minute: Minute;
  readonly low: Minute;
  readonly high: Minute;
}

/** The curve fitted to a vessel's readings, over them and on beyond the last. */
export interface Forecast {
  /** As in the sugar's series. */
  readonly name: string;
  /** In the order of time. */
  readonly points: readonly ForecastPoint[];
  readonly dry?: ExpectedDry;
}

export interface FermentCurve {
  readonly title: string;
  /** What the sugar axis shows: `°Bx`, `SG`, `°Oe`. */
  readonly unit: string;
  readonly sugar: readonly CurveSeries[];
  readonly temperatureUnit: string;
  readonly temperature: readonly CurveSeries[];
  readonly strips: readonly MarkStrip[];
  readonly forecast?: readonly Forecast[];
}

/** A ferment among others, all on one scale. */
export interface FermentPanel {
  readonly name: string;
  /** From the site's root. */
  readonly href?: string;
  /** The minute its days are counted from. */
  readonly start: Minute;
  readonly points: readonly CurvePoint[];
  /** Beyond its last reading, or over all of it; only what lies beyond is drawn. */
  readonly forecast?: readonly ForecastPoint[];
  /** `12.4 °Bx on 20 Sep` */
  readonly last: string;
  /** `dry about 27 Sep` */
  readonly dry?: string;
}

export interface Ferments {
  readonly title: string;
  readonly unit: string;
  /** The level that counts as dry, shown on every panel. */
  readonly dryAt?: number;
  /** In the order they are drawn: the slowest first. */
  readonly panels: readonly FermentPanel[];
}

export interface SulfurDioxide {
  readonly title: string;
  /** Of all three: `mg/L`. */
  readonly unit: string;
  readonly free: readonly CurvePoint[];
  readonly total: readonly CurvePoint[];
  readonly molecular: readonly CurvePoint[];
  /** By what the molecular figures were worked out, as it is printed beside them. */
  readonly method: string;
  /** What the molecular is kept at: from `low` on, or between both. */
  readonly target?: { readonly low: number; readonly high?: number; readonly text: string };
  readonly strips: readonly MarkStrip[];
}

/** What falls until it counts as finished: malic acid by vessel. */
export interface Falling {
  readonly title: string;
  /** `malic acid` */
  readonly substance: string;
  readonly unit: string;
  /** The level at which it counts as finished, and how that is said: `finished at 0.2 g/L`. */
  readonly finished?: { readonly value: number; readonly text: string };
  readonly series: readonly CurveSeries[];
  readonly strips: readonly MarkStrip[];
}

export interface RipeningBlock {
  readonly name: string;
  readonly sugar: readonly CurvePoint[];
  readonly pH: readonly CurvePoint[];
  /** Titratable acid. */
  readonly acid: readonly CurvePoint[];
  readonly harvest?: Minute;
}

export interface Ripening {
  readonly title: string;
  readonly sugarUnit: string;
  /** With what it is counted as: `g/L tartaric`. */
  readonly acidUnit: string;
  readonly blocks: readonly RipeningBlock[];
}

export type LineageKind = 'block' | 'lot' | 'bottling';

export interface LineageNode {
  /** Unique among the nodes. */
  readonly id: string;
  readonly kind: LineageKind;
  readonly name: string;
  /** What there was of it, as the page words it: fruit by weight, wine by volume, bottles by count. */
  readonly text: string;
  /** In the chart's unit. Of a block the must its fruit gave; 0 lets its flows say it. */
  readonly volume: number;
  /** From the site's root. */
  readonly href?: string;
}

export interface LineageFlow {
  readonly from: string;
  readonly to: string;
  readonly volume: number;
}

/** What left and became nothing here: lees, samples, what was lost or sent away. */
export interface LineageLoss {
  readonly from: string;
  readonly volume: number;
  /** `lees 20 L` */
  readonly text: string;
}

export interface Lineage {
  readonly title: string;
  readonly unit: string;
  /** In the order of becoming: none before what it was made of. */
  readonly nodes: readonly LineageNode[];
  readonly flows: readonly LineageFlow[];
  readonly losses: readonly LineageLoss[];
}

export interface CalendarRow {
  /** A kind of work. */
  readonly name: string;
  /** Days on which it was done, in the order of time, and how often. */
  readonly days: readonly { readonly day: DayNumber; readonly count: number }[];
}

export interface SeasonCalendar {
  readonly title: string;
  readonly from: DayNumber;
  /** The last day shown. */
  readonly until: DayNumber;
  readonly rows: readonly CalendarRow[];
}

/** The time a lot lay in a barrel. */
export interface BarrelStay {
  readonly name: string;
  /** From the site's root. */
  readonly href?: string;
  readonly from: Minute;
  readonly until: Minute;
  readonly tint: Tint;
}

export interface BarrelStrip {
  readonly title: string;
  readonly from: Minute;
  readonly until: Minute;
  /** In the order of time, none over another; between them it was empty. */
  readonly stays: readonly BarrelStay[];
  readonly topped: readonly Mark[];
  /** Readings of sulfur dioxide. */
  readonly sulfur: readonly Mark[];
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
