/** Answers a `?` of an addition: how much of a material brings a wine to what the line asks for, and how it was reckoned. */
import { sayDay } from '../../grammar/dates.ts';
import type { Aim } from '../journal/events.ts';
import { molecularMethod } from '../journal/house-methods.ts';
import type { Brings, MaterialFacts, Settings } from '../journal/register.ts';
import { ADDED_ACIDS, type AddedAcid, acidForRise } from '../trade/acids.ts';
import { DEACIDIFIERS, type Deacidifier, deacidify } from '../trade/deacidification.ts';
import { nitrogenToAdd } from '../trade/nitrogen.ts';
import {
  freeForMolecular,
  SULFUR_DIOXIDE_METHOD_NAMES,
  type SulfurDioxideConditions,
  type SulfurDioxideMethod,
} from '../trade/sulfur-dioxide.ts';
import { USUAL_BOUND_PERCENT } from '../trade/sulfur-dioxide-dose.ts';
import { andThen, outside, type Refused, refuse, type Worked } from '../trade/worked.ts';

/** A reading the record has. */
export interface Known {
  readonly value: number;
  readonly day: number;
  /** Something was added to the wine since. */
  readonly stale: boolean;
}

export interface Asked {
  readonly material: MaterialFacts;
  readonly aim: Aim;
  /** The wine, in litres. */
  readonly litres: number;
  readonly known: (analyte: string) => Known | undefined;
  readonly settings: Settings;
}

export interface Answered {
  readonly amount: number;
  readonly unit: 'g' | 'mL' | 'pieces';
  /** How it was reckoned, in words. */
  readonly why: string;
}

/** The OIV's tables begin at 20 °C, their usual reference. */
const REFERENCE_CELSIUS = 20;

/** A figure for people: three digits, no trailing noise. */
const shown = (value: number): string => String(Number(value.toPrecision(3)));

const read = (known: Known): string => `read on ${sayDay(known.day)}${known.stale ? ', before the last addition' : ''}`;

const lacks = (analyte: string): Refused =>
  refuse(`the record has no figure of ${analyte} in this wine: read it first`);

/** What a rise of an analyte a litre takes of the material. */
function amountFor(
  rise: number,
  analyte: string,
  { material, litres }: Asked,
): Worked<Pick<Answered, 'amount' | 'unit'>> {
  const brought = material.brings.find((one) => one.analyte === analyte);
  if (brought === undefined || brought.amount <= 0)
    return refuse(`what ${material.name} brings of ${analyte} is not known: say so where it is declared`);
  return perUnit(rise * litres, brought);
}

/** So many milligrams of an analyte, as grams, millilitres or pieces of what brings it. */
function perUnit(milligrams: number, { per, amount }: Brings): Pick<Answered, 'amount' | 'unit'> {
  switch (per) {
    case 'mass': // parts per million of its mass
      return { amount: (milligrams / amount) * 1000, unit: 'g' };
    case 'volume': // nanograms a litre of it
      return { amount: ((milligrams * 1e6) / amount) * 1000, unit: 'mL' };
    case 'piece': // micrograms a piece
      return { amount: (milligrams * 1000) / amount, unit: 'pieces' };
  }
}

function conditions(
  asked: Asked,
  method: SulfurDioxideMethod,
): Worked<{ given: SulfurDioxideConditions; why: string }> {
  const pH = asked.known('pH');
  if (pH === undefined) return lacks('pH');
  if (method === 'plain') return { given: { method, pH: pH.value }, why: `pH ${pH.value} ${read(pH)}` };
  const alcohol = asked.known('alcohol');
  if (alcohol === undefined) return lacks('alcohol');
  return {
    given: { method, pH: pH.value, percentVolume: alcohol.value, celsius: REFERENCE_CELSIUS },
    why: `pH ${pH.value} ${read(pH)}, ${alcohol.value} % vol ${read(alcohol)}, at ${REFERENCE_CELSIUS} °C`,
  };
}

/** Free sulfur dioxide to be reached: part of what is added binds, and does not count. */
function raiseFree(asked: Asked, target: number, why: string): Worked<Answered> {
  const free = asked.known('free SO2');
  if (free === undefined) return lacks('free SO2');
  const rise = target - free.value;
  if (rise <= 0)
    return refuse(
      `it has enough: ${free.value} mg/L free was ${read(free)}, and ${shown(target)} mg/L is wanted${why}`,
    );
  const total = rise / (1 - USUAL_BOUND_PERCENT / 100);
  return andThen(amountFor(total, 'SO2', asked), (amount) => ({
    ...amount,
    why: `from ${free.value} mg/L free, ${read(free)}, to ${shown(target)} mg/L${why}; ${USUAL_BOUND_PERCENT} % of what goes in is taken to bind (common practice), so the total rises by ${shown(total)} mg/L; read free again a day later`,
  }));
}

function molecular(asked: Asked): Worked<Answered> {
  const method = molecularMethod(asked.settings);
  return andThen(conditions(asked, method), ({ given, why }) =>
    andThen(freeForMolecular(asked.aim.value, given), ({ free }) =>
      raiseFree(
        asked,
        free,
        `, which is ${asked.aim.value} mg/L molecular at ${why} (${SULFUR_DIOXIDE_METHOD_NAMES[method]})`,
      ),
    ),
  );
}

/** A plain rise: the target less what was read, or less nothing where the wine has none by nature. */
function plainRise(asked: Asked, analyte: string, brought: string, none: boolean): Worked<Answered> {
  const known = asked.known(analyte);
  if (known === undefined && !none) return lacks(analyte);
  const rise = asked.aim.value - (known?.value ?? 0);
  if (rise <= 0)
    return refuse(`it has enough: ${known?.value ?? 0} was ${known === undefined ? 'taken' : read(known)}`);
  const wrong = outside(rise, 0, 100_000, `a rise of ${analyte}`, 'mg/L');
  const from = known === undefined ? 'from none' : `from ${known.value} mg/L, ${read(known)},`;
  return (
    wrong ??
    andThen(amountFor(rise, brought, asked), (amount) => ({ ...amount, why: `${from} to ${asked.aim.value} mg/L` }))
  );
}

const isAddedAcid = (name: string): name is AddedAcid => (ADDED_ACIDS as readonly string[]).includes(name);
const isDeacidifier = (name: string): name is Deacidifier => (DEACIDIFIERS as readonly string[]).includes(name);

function totalAcidity(asked: Asked): Worked<Answered> {
  const known = asked.known('TA');
  if (known === undefined) return lacks('TA');
  const rise = asked.aim.value - known.value;
  const from = `from ${known.value} g/L, ${read(known)}, to ${asked.aim.value} g/L as tartaric`;
  const { substance = '' } = asked.material;
  if (isDeacidifier(substance)) {
    if (rise >= 0) return refuse(`TA is ${known.value} g/L, ${read(known)}: nothing is to be taken away`);
    return andThen(deacidify(substance, -rise, asked.litres), ({ neutralisationGrams, precipitationGrams }) => ({
      amount: precipitationGrams,
      unit: 'g' as const,
      why: `${from}, ${
        neutralisationGrams > precipitationGrams * 1.01
          ? `if all the potassium it brings leaves as bitartrate; ${shown(neutralisationGrams / precipitationGrams)} times as much if none does: begin with this, chill`
          : 'by what it neutralises: begin with less, wait'
      }, and read TA again`,
    }));
  }
  const acid = asked.material.brings.map(({ analyte }) => analyte).find(isAddedAcid);
  if (acid === undefined)
    return refuse(`${asked.material.name} is no acid and no deacidifier the tool can reckon with`);
  if (rise <= 0) return refuse(`TA is ${known.value} g/L, ${read(known)}: it has enough`);
  return andThen(acidForRise(acid, rise, asked.litres, 100), (grams) => ({
    amount: grams,
    unit: 'g' as const,
    why: `${from}, until bitartrate falls out and takes some of it along`,
  }));
}

/** How much of a material brings the wine to what is asked for; a refusal says what is missing. */
export function answer(asked: Asked): Worked<Answered> {
  const { aim } = asked;
  switch (aim.analyte) {
    case 'molecular SO2':
      return molecular(asked);
    case 'free SO2':
      return raiseFree(asked, aim.value, '');
    case 'total SO2':
      return plainRise(asked, 'total SO2', 'SO2', false);
    case 'TA':
      return totalAcidity(asked);
    case 'YAN': {
      const known = asked.known('YAN');
      if (known === undefined) return lacks('YAN');
      return andThen(nitrogenToAdd(aim.value, known.value), (rise) =>
        andThen(amountFor(rise, 'N', asked), (amount) => ({
          ...amount,
          why: `from ${known.value} mg/L of nitrogen, ${read(known)}, to ${aim.value} mg/L; feed in parts, not at once`,
        })),
      );
    }
    case 'copper':
      return plainRise(asked, 'copper', 'Cu', true);
    default:
      return refuse(`what brings a wine to ${aim.analyte} is not reckoned here; \`ullage reckon\` lists what is`);
  }
}

/** Rounded to what a scale shows: 0.01 g below 10 g, then 1 g, 10 g from 10 kg on; pieces to whole ones, upwards. */
export function rounded({ amount, unit }: Pick<Answered, 'amount' | 'unit'>): number {
  if (unit === 'pieces') return Math.ceil(amount - 1e-9);
  const step = amount < 10 ? 0.01 : amount < 10_000 ? 1 : 10;
  return Number((Math.round(amount / step) * step).toFixed(2));
}
