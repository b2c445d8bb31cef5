/** From the bench to the cellar: a row of a trial as amounts to weigh and to pump, and as lines to paste. */
import type { Book, VesselRecord } from '../cellar/book.ts';
import { PIECE } from '../cellar/content.ts';
import { atRate } from '../cellar/works/additions.ts';
import type { Addition, Microlitres, Target } from '../journal/events.ts';
import type { TrialRow } from '../journal/trials.ts';
import { dayOf, isoDay } from './dates.ts';
import { doseText, exactVolumeText, volumeText } from './figures.ts';
import { dayWritten, emptyVesselFor, freeName, litresWritten, nameWritten, timeAfter } from './paste-lines.ts';
import { type Trial, targetName } from './trials.ts';

export interface ScaledUp {
  /** What to weigh and what to pump, each in words. */
  readonly amounts: readonly string[];
  /** Lines of the journal, a day first; empty where nothing is to be done or it cannot be told. */
  readonly lines: readonly string[];
  /** What to mind: cautions of the materials, and why there are no amounts. */
  readonly notes: readonly string[];
}

const nothing = (note: string): ScaledUp => ({ amounts: [], lines: [], notes: [note] });

/** Where the wine is gone: how to be told of a day it was there. */
const goneNote = ({ said, event }: Trial, why: string): string =>
  `${why}: amounts are told of a day it was there, ullage trial FOLDER ${nameWritten(said.name)} --on ${isoDay(dayOf(event.minute))}`;

/** What a target holds now, if it is still the wine that was tried. */
function heldBy(book: Book, trial: Trial, target: Target): Microlitres | string {
  const name = targetName(book, target);
  if (target.kind === 'lot') {
    const lot = book.lots[target.lot];
    return lot === undefined || lot.onHand <= 0 ? `there is nothing left of ${name}` : lot.onHand;
  }
  const vessel: VesselRecord | undefined = target.kind === 'vessel' ? book.vessels[target.vessel] : undefined;
  if (vessel === undefined || vessel.content.volume <= 0) return `${name} is empty`;
  const same = vessel.lot !== undefined && trial.happening.lots.includes(vessel.lot);
  return same ? vessel.content.volume : `${name} no longer holds the wine that was tried`;
}

/**
 * A row for the cellar, from the volumes the book has. `make`: litres of a blend; as much as there is where it is left out.
 * Nothing is scaled from memory: where the wine is gone the note says so.
 */
export function scaleUp(book: Book, trial: Trial, row: TrialRow, make?: number): ScaledUp {
  if (row.unread) return nothing(`row ${row.name} could not be read`);
  if (row.parts.length > 0) return blendUp(book, trial, row, make);
  if (row.additions.length === 0) return nothing('the wine stays as it is: nothing is to be done');
  const held: { target: Target; volume: Microlitres }[] = [];
  for (const target of trial.event.targets) {
    const volume = heldBy(book, trial, target);
    if (typeof volume === 'string') return nothing(goneNote(trial, volume));
    held.push({ target, volume });
  }
  const volume = held.reduce((sum, one) => sum + one.volume, 0);
  return treatUp(book, trial, row.additions, volume);
}

function treatUp(book: Book, trial: Trial, additions: readonly Addition[], volume: Microlitres): ScaledUp {
  const to = trial.event.targets.map((target) => nameWritten(targetName(book, target))).join(', ');
  const amounts: string[] = [];
  const notes: string[] = [];
  const fining: string[] = [];
  const adding: string[] = [];
  for (const addition of additions) {
    const facts = book.materials[addition.material];
    if (facts === undefined) continue;
    const { dose } = addition;
    const amount = dose.kind === 'rate' ? atRate(dose, facts, volume, 0) : undefined;
    if (amount === undefined) {
      notes.push(
        `${facts.name} ${addition.said}: an amount in a glass says nothing of the cellar; a row says its rate, ${nameWritten(facts.name)} 3 g/hL`,
      );
      continue;
    }
    const much =
      amount.unit === 'µg'
        ? doseText(amount.amount)
        : amount.unit === 'µL'
          ? exactVolumeText(amount.amount, book.settings)
          : `${String(amount.amount / PIECE)} pieces`;
    amounts.push(`${facts.name} ${much}, at ${addition.said} of ${volumeText(volume, book.settings)}`);
    (facts.kind === 'fining agent' ? fining : adding).push(`${nameWritten(facts.name)} ${addition.said}`);
    if (facts.caution !== undefined) notes.push(facts.caution);
  }
  if (amounts.length === 0) return { amounts, lines: [], notes };
  const time = timeAfter(book);
  const lines = [
    ...(fining.length === 0 ? [] : [`fine ${to} with ${fining.join(', ')}`]),
    ...(adding.length === 0 ? [] : [`add ${adding.join(', ')} to ${to}`]),
  ];
  return {
    amounts,
    lines: [dayWritten(book), ...lines.map((line, i) => (i === 0 ? `${time} ${line}` : `      ${line}`))],
    notes,
  };
}

const LITRE = 1e6;

function blendUp(book: Book, trial: Trial, row: TrialRow, make: number | undefined): ScaledUp {
  const notes: string[] = [];
  let most = Number.POSITIVE_INFINITY;
  for (const { target, share } of row.parts) {
    const held = heldBy(book, trial, target);
    if (typeof held === 'string') return nothing(goneNote(trial, held));
    if (share > 0) most = Math.min(most, held / (share / 1e6) / LITRE);
  }
  const total = make === undefined ? Math.floor(most + 1e-9) : make;
  if (total > most + 1e-6)
    return nothing(
      `at most ${litresWritten(Math.floor(most))} can be made of row ${row.name}: ${litresWritten(total)} is more`,
    );
  const poured = wholeLitres(row, total);
  const amounts = row.parts.map(({ target }, i) => `${targetName(book, target)} ${litresWritten(poured[i] ?? 0)}`);
  if (row.additions.length > 0) notes.push('what the row adds is weighed for the blend once it is made');
  const to = emptyVesselFor(book, total, new Set());
  if (to === undefined)
    return { amounts, lines: [], notes: [...notes, 'no empty vessel takes it: name one in the line of the blend'] };
  const sources = row.parts
    .map(({ target }, i) => `${nameWritten(targetName(book, target))} ${litresWritten(poured[i] ?? 0)}`)
    .join(', ');
  const as = freeName(book, `${trial.said.name}-${row.name}`);
  return {
    amounts,
    lines: [dayWritten(book), `${timeAfter(book)} blend ${sources} to ${nameWritten(to)} as ${nameWritten(as)}`],
    notes: [
      ...notes,
      `${to} is the smallest empty vessel that takes it; which vessels each lot is drawn from is yours to choose, or that of ullage blend FOLDER --near "${trial.said.name} ${row.name}"`,
    ],
  };
}

/** Litres of each part, whole where the volume asked for is; what rounding leaves goes where most was cut off. */
function wholeLitres(row: TrialRow, total: number): number[] {
  const exact = row.parts.map(({ share }) => (share / 1e6) * total);
  const whole = exact.map((litres) => Math.floor(litres + 1e-9));
  let lacking = Math.round(total - whole.reduce((sum, one) => sum + one, 0));
  const order = exact
    .map((litres, i) => ({ i, cut: litres - (whole[i] ?? 0) }))
    .sort((a, b) => b.cut - a.cut || a.i - b.i);
  for (const { i } of order) {
    if (lacking <= 0) break;
    whole[i] = (whole[i] ?? 0) + 1;
    lacking--;
  }
  return whole;
}
