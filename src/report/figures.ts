/** Figures in the report's own units, rounded for people: volumes, masses, temperatures, readings, shares. */
import { findAnalyte } from '../../grammar/analytes.ts';
import type { Bottles, Measure, Micrograms, Microlitres } from '../journal/events.ts';
import type { Settings } from '../journal/register.ts';
import { celsiusToFahrenheit, formatMass } from '../trade/convert.ts';
import { formatScaled } from '../trade/decimal.ts';
import { BOTTLE_FORMATS } from '../trade/formats.ts';
import { formatVolume, volumeIn } from '../trade/volume.ts';

/** A figure that follows from an estimate is shown as one. */
const ABOUT = '~';

/** A volume for people: to a tenth of a litre or gallon, a thousandth of a hectolitre; an estimate to the whole litre or gallon. */
export function volumeText(volume: Microlitres, settings: Settings, estimated = false): string {
  const about = estimated ? ABOUT : '';
  if (settings.volume === 'gal') return `${about}${formatVolume(volume, 'gal', estimated ? 0 : 1)}`;
  const step = estimated ? 1_000_000 : 100_000;
  // Nothing is hidden by rounding to nothing.
  if (volume !== 0 && Math.abs(volume) < step) return about + exactVolumeText(volume, settings);
  return `${about}${formatVolume(Math.round(volume / step) * step, settings.volume)}`;
}

/** As much of a volume as the record holds, down to the millilitre. */
export function exactVolumeText(volume: Microlitres, settings: Settings): string {
  return formatVolume(volume, settings.volume);
}

/** A volume as a number of the report's unit, for charts. */
export function volumeNumberOf(volume: Microlitres, settings: Settings): number {
  return volumeIn(volume, settings.volume);
}

/** Fruit and what is left of it: to a tenth of a kilogram or pound. */
export function massText(mass: Micrograms, settings: Settings): string {
  if (settings.mass === 'lb') return formatMass(mass, 'lb', 1);
  return formatMass(Math.round(mass / 100_000_000) * 100_000_000, 'kg');
}

/** An addition: grams, or kilograms from one on. */
export function doseText(mass: Micrograms): string {
  return mass >= 1_000_000_000 ? formatMass(mass, 'kg') : formatMass(mass, 'g');
}

/** A share of a whole in per cent, to a tenth, rounded down: no share is made to look as if it reached a limit. */
export function shareText(part: number, whole: number): string {
  if (whole <= 0) return '0 %';
  const tenths = Math.floor((part / whole) * 1000 + 1e-9);
  if (tenths === 0 && part > 0) return '<0.1 %';
  return `${formatScaled(tenths, 1n, 10n, 1, { trimmed: true })} %`;
}

export function percentText(share: number): string {
  return `${Math.round(share * 100)} %`;
}

export function temperatureUnit(settings: Settings): string {
  return settings.temperature === 'F' ? '°F' : '°C';
}

const TEMPERATURES: ReadonlySet<string> = new Set(['temp', 'cap temp', 'ambient temp']);

export function isTemperature(analyte: string): boolean {
  return TEMPERATURES.has(analyte);
}

/** A reading's value as the report shows it: temperatures in its own unit, all else in the analyte's. */
export function shownValue(analyte: string, value: number, settings: Settings): number {
  return isTemperature(analyte) && settings.temperature === 'F' ? celsiusToFahrenheit(value) : value;
}

export function analyteUnit(analyte: string, settings: Settings): string {
  if (isTemperature(analyte)) return temperatureUnit(settings);
  const unit = findAnalyte(analyte)?.unit ?? '';
  // The word says it already: `pH 3.6`, `SG 1.092`.
  return unit === analyte ? '' : unit;
}

/** Decimal places that instruments of a cellar show (common practice, no source). */
const PLACES: Readonly<Record<string, number>> = {
  pH: 2,
  SG: 4,
  TA: 2,
  'TA-sulfuric': 2,
  VA: 2,
  malic: 2,
  lactic: 2,
  tartaric: 2,
  citric: 2,
  alcohol: 2,
  'molecular SO2': 2,
  'dissolved oxygen': 2,
  CO2: 2,
  colour: 2,
  copper: 2,
  iron: 2,
  pressure: 2,
};

export function valueText(analyte: string, value: number, settings: Settings): string {
  const text = shownValue(analyte, value, settings).toFixed(PLACES[analyte] ?? 1);
  const trimmed = analyte === 'SG' || !text.includes('.') ? text : text.replace(/\.?0+$/u, '');
  return trimmed === '-0' ? '0' : trimmed.replace('-', '−');
}

/** A reading without its unit, for a column that names it: `24.6`, `<0.1`, `22 to 30`. */
export function measureText(measure: Measure, settings: Settings): string {
  const low = valueText(measure.analyte, measure.value, settings);
  const high = measure.high === undefined ? '' : ` to ${valueText(measure.analyte, measure.high, settings)}`;
  return `${measure.mark}${low}${high}`;
}

/** A figure with its unit, joined so that a line never parts them. */
export function withUnit(figure: string, unit: string): string {
  return unit === '' ? figure : `${figure}\u00A0${unit}`;
}

/** An analyte with its figure and unit: `brix 24.6 °Bx`, `pH 3.58`. */
export function namedMeasureText(measure: Measure, settings: Settings): string {
  return `${measure.analyte} ${withUnit(measureText(measure, settings), analyteUnit(measure.analyte, settings))}`;
}

/** The size of a bottle, with its name where the trade has one for it: `750 mL`, `1.5 L (magnum)`. */
export function bottleText(size: Microlitres): string {
  const millilitres = size / 1000;
  const text = millilitres >= 1000 ? formatVolume(size, 'L') : `${formatScaled(size, 1n, 1000n, 0)} mL`;
  const name =
    millilitres === 750 ? undefined : BOTTLE_FORMATS.find((format) => format.millilitres === millilitres)?.name;
  return name === undefined ? text : `${text} (${name})`;
}

/** `820 × 750 mL, 30 × 1.5 L`, or `none`. */
export function bottlesText(bottles: readonly Bottles[]): string {
  const held = bottles.filter(({ count }) => count !== 0);
  if (held.length === 0) return 'none';
  return held
    .map(({ count, size }) => `${formatScaled(count, 1n, 1n, 0, { grouped: true })} × ${bottleText(size)}`)
    .join(', ');
}
