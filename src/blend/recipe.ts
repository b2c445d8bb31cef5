/** The answer to what was asked of a blend: the recipe with what each part brings and what binds, or why there is none. */
import { fold } from '../../grammar/words.ts';
import type { Settings } from '../journal/register.ts';
import { analyteUnit } from '../report/figures.ts';
import { nameList } from '../report/names.ts';
import type { Asked } from './asked.ts';
import type { Part } from './available.ts';
import { type Bound, binds, boundsOfBlend } from './bounds-of-blend.ts';
import { type ForetoldAll, foretellBlend } from './foretold.ts';
import { litresText } from './litres-text.ts';
import type { Solve } from './program.ts';
import { roundRecipe } from './rounded.ts';
import { conflictOf, findBlend, fitsInPart, mostDrawn, NEAR_ENOUGH, nearestBlend } from './solve-blend.ts';

/** What comes from one part. */
export interface Contribution {
  readonly part: Part;
  readonly litres: number;
  /** 0 to 1, of what is drawn. */
  readonly share: number;
  /** Nothing stays in the vessel. */
  readonly emptied: boolean;
  /** Litres that stay. */
  readonly left: number;
}

/** A bound the recipe lies at, and what easing it would give. */
export interface Binding {
  readonly say: string;
  /** `at 12.9 % vol: 1240 L could be made instead of 1100 L`; undefined where it cannot be eased. */
  readonly eased: string | undefined;
}

/** How a bound is kept: the figure of the rounded recipe. */
export interface Kept {
  readonly say: string;
  readonly value: number;
  readonly unit: string;
  readonly places: number;
}

export interface Recipe {
  readonly status: 'recipe';
  readonly contributions: readonly Contribution[];
  readonly drawn: number;
  readonly arrives: number;
  /** Litres it was rounded to; undefined where no rounding keeps to the bounds, and the amounts stand as found. */
  readonly step: number | undefined;
  readonly kept: readonly Kept[];
  readonly binding: readonly Binding[];
  /** Litres that could be made at most under the same bounds. */
  readonly most: number | undefined;
  readonly sources: readonly { readonly name: string; readonly share: number }[];
  readonly foretold: ForetoldAll;
  readonly remarks: readonly string[];
  readonly aim: string;
}

export interface NoRecipe {
  readonly status: 'none';
  /** Bounds that cannot be kept together. */
  readonly conflict: readonly string[];
  /** The nearest that can be, in words, and how far it is off. */
  readonly nearest: readonly string[];
  readonly nearestParts: readonly Contribution[];
}

export interface Unable {
  readonly status: 'unable';
  readonly why: string;
}

export type AnswerToBlend = Recipe | NoRecipe | Unable;

/** Everything that must be known before a program can be made. */
function lackOf(asked: Asked, parts: readonly Part[], settings: Settings): string | undefined {
  const empty = parts.filter(({ litres }) => litres <= 0).map(({ name }) => name);
  if (empty.length > 0)
    return `${nameList(empty)} ${empty.length === 1 ? 'holds' : 'hold'} nothing: leave them out of --from`;
  for (const { analyte } of asked.keeps) {
    const without = parts.filter(({ figures }) => !figures.has(analyte)).map(({ name }) => name);
    const [first] = without;
    if (first !== undefined)
      return `there is no reading of ${analyte} in ${nameList(without)}: read it, leave them out of --from, or give it: --reading "${first} ${analyte} ... ${analyteUnit(analyte, settings)}"`;
  }
  return undefined;
}

export function answerBlend(solve: Solve, asked: Asked, parts: readonly Part[], settings: Settings): AnswerToBlend {
  const lack = lackOf(asked, parts, settings);
  if (lack !== undefined) return { status: 'unable', why: lack };
  const bounds = boundsOfBlend(asked, parts, settings);
  const found = findBlend(solve, asked, parts, bounds);
  if (found.status === 'unsolved') return { status: 'unable', why: found.why };
  if (found.status === 'impossible') return noRecipe(solve, asked, parts, bounds);
  const rounded = roundRecipe(solve, asked, parts, bounds, found.litres);
  const litres = rounded?.litres ?? found.litres;
  const total = litres.reduce((sum, one) => sum + one, 0);
  if (total <= 0) return noRecipe(solve, asked, parts, bounds);
  if (total <= asked.lees + asked.loss)
    return { status: 'none', conflict: lostWords(asked, total), nearest: [], nearestParts: [] };
  const most = mostDrawn(solve, asked, parts, bounds);
  return {
    status: 'recipe',
    contributions: contributionsOf(parts, litres),
    drawn: total,
    arrives: total - asked.lees - asked.loss,
    step: rounded?.step,
    kept: bounds.flatMap(({ of, figure, say }) =>
      of === undefined || figure === undefined
        ? []
        : [{ say, value: of(litres) * figure.scale, unit: figure.unit, places: figure.places }],
    ),
    binding: bindingOf(solve, asked, parts, bounds, found.litres, found.aimed, most),
    most: most === undefined ? undefined : most - asked.lees - asked.loss,
    sources: sourcesOf(parts, litres),
    foretold: foretellBlend(parts, litres),
    remarks: remarksOf(asked, parts, litres, rounded?.step),
    aim: aimText(asked),
  };
}

function contributionsOf(parts: readonly Part[], litres: readonly number[]): Contribution[] {
  const total = litres.reduce((sum, one) => sum + one, 0);
  return parts.flatMap((part, i) => {
    const one = litres[i] ?? 0;
    if (one <= 0) return [];
    const left = Math.max(0, part.litres - one);
    return [{ part, litres: one, share: one / total, emptied: left < 1e-6, left }];
  });
}

function remarksOf(
  asked: Asked,
  parts: readonly Part[],
  litres: readonly number[],
  step: number | undefined,
): string[] {
  const used = parts.filter((_, i) => (litres[i] ?? 0) > 0);
  const estimated = used.filter((part) => part.estimated).map(({ name }) => name);
  const doubtful = used.filter((part) => part.doubtful).map(({ name }) => name);
  return [
    ...(step === undefined
      ? ['no round amounts keep to every bound: these are as worked out; ease a bound, or take a finer --step']
      : step < asked.step
        ? [`no amounts in steps of ${litresText(asked.step)} come to what is asked: a finer step was taken`]
        : []),
    ...(estimated.length === 0 ? [] : [`the volume of ${nameList(estimated)} is an estimate: dip before pumping`]),
    ...(doubtful.length === 0
      ? []
      : [`a line that could not be read may have touched ${nameList(doubtful)}: dip before pumping`]),
  ];
}

function aimText({ aim, make }: Asked): string {
  const first = make === undefined ? 'as much as can be made; then ' : '';
  switch (aim.kind) {
    case 'fewest':
      return `${first}few vessels left part full, then few opened`;
    case 'near':
      return `${first}as near as can be to ${aim.name}, to ${NEAR_ENOUGH * 100} % of the volume`;
    default:
      return `${first}${aim.kind === 'least' ? 'as little' : 'as much'} of ${aim.name} as can be`;
  }
}

/** What is said of easing a bound: what the aim gains, and what more could be made. */
function bindingOf(
  solve: Solve,
  asked: Asked,
  parts: readonly Part[],
  bounds: readonly Bound[],
  litres: readonly number[],
  aimed: number,
  most: number | undefined,
): Binding[] {
  return bounds
    .filter((bound) => bound.kind !== 'make' && binds(bound, litres))
    .filter(({ kind, terms }) => kind !== 'held' || terms.length > 1)
    .map((bound) => {
      const { eased } = bound;
      if (eased === undefined) return { say: bound.say, eased: undefined };
      const others = bounds.map((one) => (one === bound ? eased.bound : one));
      const gains: string[] = [];
      const again = findBlend(solve, asked, parts, others);
      if (again.status === 'found') gains.push(...aimGain(asked, aimed, again.aimed));
      const more = mostDrawn(solve, asked, parts, others);
      if (more !== undefined && most !== undefined && more - most > 0.5)
        gains.push(
          `${litresText(more - asked.lees - asked.loss)} could be made instead of ${litresText(most - asked.lees - asked.loss)}`,
        );
      return {
        say: bound.say,
        eased: `at ${eased.say}: ${gains.length === 0 ? 'nothing is gained' : gains.join(', ')}`,
      };
    });
}

function aimGain({ aim }: Asked, before: number, after: number): string[] {
  const gain = before - after;
  switch (aim.kind) {
    case 'fewest':
      return gain > 0.5 ? ['fewer vessels would be opened or left part full'] : [];
    case 'near':
      // a litre too much of one is a litre too little of another
      return gain > 0.1 ? [`${litresText(gain / 2)} nearer to ${aim.name}`] : [];
    default:
      return gain > 0.1 ? [`${litresText(gain)} ${aim.kind === 'least' ? 'less' : 'more'} of ${aim.name}`] : [];
  }
}

/** Grape, vintage and region together, by share of the wine, the largest first. */
function sourcesOf(parts: readonly Part[], litres: readonly number[]): Recipe['sources'] {
  const shares = new Map<string, { name: string; litres: number }>();
  let total = 0;
  for (const [i, part] of parts.entries()) {
    const drawnHere = litres[i] ?? 0;
    if (drawnHere <= 0 || part.litres <= 0) continue;
    for (const { origin, litres: there } of part.origins) {
      const name = [origin.variety, origin.vintage === undefined ? '' : String(origin.vintage), origin.region ?? '']
        .filter((one) => one !== '')
        .join(', ');
      const one = (there * drawnHere) / part.litres;
      const known = shares.get(fold(name));
      if (known === undefined) shares.set(fold(name), { name, litres: one });
      else known.litres += one;
      total += one;
    }
  }
  return [...shares.values()]
    .sort((a, b) => b.litres - a.litres || (a.name < b.name ? -1 : 1))
    .map(({ name, litres: one }) => ({ name, share: one / total }));
}

function noRecipe(solve: Solve, asked: Asked, parts: readonly Part[], bounds: readonly Bound[]): NoRecipe {
  const conflict = conflictOf(solve, asked, parts, bounds);
  const nearest = nearestBlend(solve, asked, parts, bounds);
  return {
    status: 'none',
    conflict: conflictWords(solve, asked, conflict, parts),
    nearest:
      nearest === undefined
        ? [
            `none: ${lostWords(
              asked,
              parts.reduce((sum, { litres }) => sum + litres, 0),
            ).join(', but ')}`,
          ]
        : nearestWords(
            asked,
            nearest.litres,
            nearest.misses.map(({ bound }) => bound),
          ),
    nearestParts: nearest === undefined ? [] : contributionsOf(parts, nearest.litres),
  };
}

/** More is to stay behind or be lost than can be drawn. */
const lostWords = ({ lees, loss }: Asked, most: number): readonly [string, string] => [
  `wine is to arrive beyond ${litresText(lees + loss)} of lees and losses`,
  `at most ${litresText(most)} can be drawn`,
];

/** Several vessels are told together: those that hold too little, or those that are taken whole where that is why. */
function conflictWords(solve: Solve, asked: Asked, conflict: readonly Bound[], parts: readonly Part[]): string[] {
  const held = conflict.filter(({ kind }) => kind === 'held');
  const others = conflict.filter(({ kind }) => kind !== 'held').map(({ say }) => say);
  if (held.length < 3) return [...others, ...held.map(({ say }) => say)];
  const members = held.flatMap(({ terms }) => parts[terms[0]?.[0] ?? -1] ?? []);
  const whole = members.filter(({ name }) => asked.whole.includes(name));
  if (whole.length > 0 && fitsInPart(solve, asked, parts, conflict))
    return [
      ...others,
      `${wholeList(whole)}: each is taken whole or not at all`,
      ...held.filter(({ terms }) => whole.every((part) => part !== parts[terms[0]?.[0] ?? -1])).map(({ say }) => say),
    ];
  const sum = members.reduce((total, { litres }) => total + litres, 0);
  return [...others, `${nameList(members.map(({ name }) => name))} hold ${litresText(sum)} together`];
}

/** `T1 600 L; FB-01..FB-03 225 L each`. */
function wholeList(members: readonly Part[]): string {
  const alike = new Map<string, string[]>();
  for (const { name, litres } of members) {
    const text = litresText(litres);
    alike.set(text, [...(alike.get(text) ?? []), name]);
  }
  return [...alike].map(([text, names]) => `${nameList(names)} ${text}${names.length > 1 ? ' each' : ''}`).join('; ');
}

function nearestWords(asked: Asked, litres: readonly number[], missed: readonly Bound[]): string[] {
  const total = litres.reduce((sum, one) => sum + one, 0);
  return missed.map((bound) => {
    const { of, figure } = bound;
    if (of !== undefined && figure !== undefined)
      return `${bound.say}: it would be ${(of(litres) * figure.scale).toFixed(figure.places)} ${figure.unit}`.trim();
    if (bound.kind === 'make')
      return `${litresText(total - asked.lees - asked.loss)} instead of ${litresText(asked.make ?? total)}`;
    const value = bound.terms.reduce((sum, [part, coefficient]) => sum + coefficient * (litres[part] ?? 0), 0);
    return `${bound.say}: it would be ${litresText(value)}`;
  });
}
