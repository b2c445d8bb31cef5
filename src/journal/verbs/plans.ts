/** Plans of work: what they cover, their lines, and what is put under them or taken from under them. */
import type { Item, Part } from '../../../grammar/entries.ts';
import { asWritten, insteadIf } from '../../../grammar/fixes.ts';
import { nearest } from '../../../grammar/suggest.ts';
import { VESSEL_KINDS, type VesselKind } from '../../../grammar/words.ts';
import { type Line, sayPart, textOf } from '../line.ts';
import { readPlanRow } from '../plan-rows.ts';
import { type Cover, type PlanFacts, type PlanRow, WINE_KINDS, type WineKind } from '../plans.ts';
import { kept } from './bench-and-store.ts';
import type { Below, VerbReader } from './reader.ts';

interface Covered {
  readonly kinds: WineKind[];
  readonly lots: number[];
  readonly vessels: number[];
  readonly vesselKinds: VesselKind[];
}

function nothingAfter(line: Line, word: 'for' | 'in', example: string): boolean {
  const phrase = line.phrase(word);
  if (phrase === undefined || phrase.items.length > 0) return false;
  line.fail({
    start: phrase.start,
    end: phrase.wordEnd,
    code: 'line-unfinished',
    message: `nothing stands after \`${word}\``,
    help: `write it: \`${example}\``,
  });
  return true;
}

/** The only part of an item; more than one word is no name. */
function onlyPart(line: Line, item: Item, help: string): Part | undefined {
  const [first, ...more] = item.parts;
  if (more.length === 0) return first;
  return line.fail({
    start: item.start,
    end: item.end,
    code: 'word-stray',
    message: `\`${item.parts.map(sayPart).join(' ')}\` is more than one word`,
    help,
  });
}

function names(line: Line, part: Part, covered: Covered): void {
  for (const target of line.targets(part) ?? []) {
    if (target.kind === 'vessel') covered.vessels.push(target.vessel);
    else if (target.kind === 'lot') covered.lots.push(target.lot);
  }
}

const HELP_FOR = 'a plan is for `must`, `juice` or `wine`, for vessels or for lots; kinds of vessel stand after `in`';

function readFor(line: Line, covered: Covered): void {
  if (nothingAfter(line, 'for', 'plan red-ferment for must')) return;
  for (const item of line.items('for')) {
    const part = onlyPart(line, item, HELP_FOR);
    if (part === undefined) return;
    const word = part.type === 'word' && part.to === undefined ? part.text.toLowerCase() : '';
    const kind = WINE_KINDS.find((known) => known === word);
    if (kind !== undefined) {
      covered.kinds.push(kind);
      continue;
    }
    if (part.type === 'word' && part.to === undefined && line.register.place(part.text) === undefined) {
      const near = nearest(part.text, [...WINE_KINDS, ...line.register.placeNames(['vessel', 'lot'])]);
      const vessel = VESSEL_KINDS.find((known) => known === word);
      line.fail({
        start: part.start,
        end: part.end,
        code: 'name-unknown',
        message: `\`${part.text}\` is neither a kind of wine nor a vessel or lot`,
        help:
          vessel !== undefined ? `write \`in ${vessel}\`` : near === undefined ? HELP_FOR : `did you mean \`${near}\`?`,
        ...insteadIf(part, vessel !== undefined || near === undefined ? undefined : asWritten(near)),
        name: part.text,
      });
      return;
    }
    names(line, part, covered);
  }
}

const HELP_IN = 'a kind of vessel or vessels stand after `in`: `in barrel`, `in T1..T3`';

function readIn(line: Line, covered: Covered): void {
  if (nothingAfter(line, 'in', 'plan barrel-age for wine in barrel')) return;
  for (const item of line.items('in')) {
    const part = onlyPart(line, item, HELP_IN);
    if (part === undefined) return;
    const word = part.type === 'word' && part.to === undefined ? part.text.toLowerCase() : '';
    const named = part.type === 'word' || part.type === 'string' ? line.register.place(part.text) : undefined;
    const kind = VESSEL_KINDS.find((known) => known === word || `${known}s` === word);
    if (kind !== undefined && named === undefined) {
      covered.vesselKinds.push(kind);
      continue;
    }
    if (named !== undefined && named.kind !== 'vessel' && part.type !== 'amount') {
      line.wrongKind({ ...part, text: textOf(part) }, named.kind, 'a vessel');
      return;
    }
    if (part.type === 'word' && part.to === undefined && named === undefined) {
      const near = nearest(part.text, [...VESSEL_KINDS, ...line.register.placeNames(['vessel'])]);
      line.fail({
        start: part.start,
        end: part.end,
        code: 'name-unknown',
        message: `\`${sayPart(part)}\` is neither a kind of vessel nor a vessel`,
        help: near === undefined ? HELP_IN : `did you mean \`${near}\`?`,
        ...insteadIf(part, near === undefined ? undefined : asWritten(near)),
        name: part.text,
      });
      return;
    }
    names(line, part, covered);
  }
}

function coverOf(line: Line): Cover {
  const covered: Covered = { kinds: [], lots: [], vessels: [], vesselKinds: [] };
  readFor(line, covered);
  readIn(line, covered);
  return covered;
}

/** The lines below a plan; one that cannot be read leaves the plan without it, and in doubt. */
function rowsOf(below: Below): { rows: PlanRow[]; doubtful: boolean } {
  const rows: PlanRow[] = [];
  let doubtful = below.lacking;
  for (const child of below.children) {
    if (child.entry.struck) continue;
    const own = below.child(child);
    const row = readPlanRow(own);
    below.settle(own);
    if (row === undefined) doubtful = true;
    else rows.push(row);
  }
  return { rows, doubtful };
}

export const plan: VerbReader = (line, below) => {
  const head = line.entry.head[0]?.parts[0];
  if (head === undefined || head.type === 'amount') return [];
  line.checkName(head);
  const before = line.register.plan(head.text);
  if (before !== undefined && Math.floor(before.since / 1440) === Math.floor(line.minute / 1440)) {
    line.fail({
      start: head.start,
      end: head.end,
      code: 'name-taken',
      message: `the plan \`${before.name}\` stands already`,
      help: 'take another name; under a later day the name writes the plan anew from then on',
      related: { place: before.place, message: 'it stands here' },
    });
  }
  const cover = coverOf(line);
  const { rows, doubtful } = rowsOf(below);
  const event = kept(line, below, []);
  if (line.failure !== undefined) return [];
  line.register.addPlan({
    name: head.text.normalize('NFC'),
    place: line.place,
    since: line.minute,
    cover,
    rows,
    doubtful,
  });
  return event;
};

/** The plan a line names. */
function planOf(line: Line, word: 'under' | 'from'): PlanFacts | undefined {
  const part = line.items(word)[0]?.parts[0];
  if (part === undefined || part.type === 'amount') return undefined;
  const known = line.register.plan(part.text);
  if (known !== undefined) return known;
  const near = nearest(
    part.text,
    line.register.plans.map(({ name }) => name),
  );
  return line.fail({
    start: part.start,
    end: part.end,
    code: 'name-unknown',
    message: `there is no plan \`${part.text}\``,
    help:
      near === undefined ? `write it: \`plan ${part.text}\`, and what is due below it` : `did you mean \`${near}\`?`,
    ...insteadIf(part, near === undefined ? undefined : asWritten(near)),
    // a vessel or a lot of that name is there, and no plan that came too late
    ...(line.register.place(part.text) === undefined ? { name: part.text } : {}),
  });
}

const planned =
  (word: 'under' | 'from'): VerbReader =>
  (line, below) => {
    const targets = line.allTargets(line.entry.head);
    const facts = planOf(line, word);
    if (facts === undefined) return [];
    const [event] = kept(line, below, targets);
    return [{ ...event, planned: { plan: facts.id, under: word === 'under' } }];
  };

export const put = planned('under');
export const take = planned('from');
