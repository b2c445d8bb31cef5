/** Reads what a person typed for an input of a calculation: a number and its unit, or a word out of a list. */
import { type Dimension, findUnit } from '../../../grammar/units.ts';
import { inUnit } from '../convert.ts';
import { parseDecimal } from '../decimal.ts';
import { findSubstance, SUBSTANCES } from '../substances.ts';
import { refuse, type Worked } from '../worked.ts';
import type { Input } from './calculation.ts';

const QUANTITY = /^\s*([+-]?[\d.]+)\s*([^\s\d.,].*?)?\s*$/;

/** Units that fit an input, for messages: the commonest few. */
function examples(dimensions: readonly Dimension[], unit: string): string {
  const other: Partial<Record<Dimension, string>> = { volume: 'gal', mass: 'lb', temperature: 'F', duration: 'h' };
  const more = dimensions.flatMap((dimension) => other[dimension] ?? []).filter((symbol) => symbol !== unit);
  return [unit, ...more].map((symbol) => `\`${symbol}\``).join(' or ');
}

/** The figure meant by a text such as `1200 L`, `317 gal` or `3.55`, in the unit of the input. */
export function readFigure(input: Input, text: string): Worked {
  const match = QUANTITY.exec(text.replace('−', '-'));
  const written = match === null ? undefined : parseDecimal(match[1] ?? '');
  if (match === null || written === undefined) {
    const comma = /^\s*[+-]?\d+,\d+/.test(text) ? '; decimals stand after a point' : '';
    return refuse(`--${input.name} is a number: \`${text}\` is none${comma}`);
  }
  const value = Number(written.mantissa) / 10 ** written.places;
  const said = match[2];
  const dimensions = input.dimensions ?? [];
  if (dimensions.length === 0) {
    if (said === undefined || said === input.unit || said === input.unit.replace('°', '')) return value;
    const own = findUnit(input.unit);
    const other = findUnit(said);
    if (own !== undefined && own.dimension === other?.dimension) return inUnit(value, other, own);
    return refuse(
      `--${input.name} is a plain number${input.unit === '' ? '' : ` (${input.unit})`}: leave \`${said}\` out`,
    );
  }
  if (said === undefined)
    return refuse(
      `--${input.name} needs its unit: \`${match[1]} ${input.unit}\` (${examples(dimensions, input.unit)})`,
    );
  const unit = findUnit(said.replace(/\s+/g, ' '));
  const wanted = findUnit(input.unit);
  if (unit === undefined)
    return refuse(`\`${said}\` is no unit known here; --${input.name} takes ${examples(dimensions, input.unit)}`);
  if (wanted === undefined || unit.dimension !== wanted.dimension || !dimensions.includes(unit.dimension))
    return refuse(`--${input.name} is not measured in ${unit.say}; it takes ${examples(dimensions, input.unit)}`);
  return inUnit(value, unit, wanted);
}

/** The word meant by a text, out of the choices of the input or the substances that are known. */
export function readWord(input: Input, text: string): Worked<string> {
  const said = text.trim().toLowerCase();
  if (input.names === 'substance') {
    const substance = findSubstance(text);
    if (substance !== undefined) return substance.name;
    const near = SUBSTANCES.filter(({ name }) => name.includes(said)).map(({ name }) => `\`${name}\``);
    return refuse(
      `\`${text}\` is no substance known here${near.length === 0 ? '' : `; is it ${near.slice(0, 4).join(', ')}?`}`,
    );
  }
  const choices = input.choices ?? [];
  const found =
    choices.find((choice) => choice.toLowerCase() === said) ??
    only(choices.filter((choice) => choice.toLowerCase().startsWith(said)));
  return (
    found ?? refuse(`--${input.name} is one of ${choices.map((choice) => `\`${choice}\``).join(', ')}, not \`${text}\``)
  );
}

const only = (found: readonly string[]): string | undefined => (found.length === 1 ? found[0] : undefined);

/** Whether an input asks for a word rather than a figure. */
export const asksWord = (input: Input): boolean => input.choices !== undefined || input.names !== undefined;
