/** Folds the sequence of a journal into the state of the cellar, an event at a time, and says what does not balance. */
import { fold as foldName } from '../../grammar/words.ts';
import type { DayNote, DayNumber, Event, LotId, Minute, Place, VesselId } from '../journal/events.ts';
import { lineAt, type SourceFile } from '../journal/files.ts';
import { compareFindings, type Finding, type Related, severityOf, type Where } from '../journal/findings.ts';
import { Register, rangeNames } from '../journal/names.ts';
import { type Pause, readSequence, type SequenceOptions, type Unread } from '../journal/sequence.ts';
import type { StruckLine } from '../journal/struck.ts';
import type { LotStage } from './book.ts';
import { BroughtIn } from './brought-in.ts';
import { Cellar } from './cellar.ts';
import { type Complaint, Deed } from './deed.ts';
import { endOfFerment, LONGEST_FERMENT, stageAfter, stageOn } from './stages.ts';
import { makeWine } from './wine-made.ts';
import { carryOut } from './works/index.ts';

/** Looks at each event once it has been carried out. */
export interface Watcher {
  after(deed: Deed, changed: ReadonlyMap<LotId, LotStage>): void;
  /** A line was not counted; what it may have told of is missing from the record. */
  unread?(unread: Unread): void;
  /** The same onlooker with all it remembers, over another cellar that is a copy: what either sees later, the other does not. */
  copy?(cellar: Cellar): Onlooker;
}

/** A watcher that may speak at the end. */
export type Onlooker = Watcher & { end?(say: Say): void };

/** Says something about a line from outside an event. */
export type Say = (place: Place, complaint: Omit<Complaint, 'place'>, sic?: boolean) => void;

export interface Folded {
  readonly register: Register;
  readonly cellar: Cellar;
  readonly firstDay: DayNumber | undefined;
  readonly lastDay: DayNumber | undefined;
  /** Entry lines read, rows included. */
  readonly entries: number;
  /** Lines that are struck, a day after the other. */
  readonly struck: readonly StruckLine[];
  readonly findings: Finding[];
}

export interface FoldOptions {
  /** Nothing after this day is counted. */
  readonly until?: DayNumber;
  /** Made once the register is there; looks on as events are carried out, and speaks at the end. */
  readonly watchers?: readonly ((cellar: Cellar) => Onlooker)[];
}

/** A fold between two days, with all it remembers: whoever goes on from it leaves it as it was. */
export interface FoldPause {
  readonly at: Pause;
  readonly register: Register;
  readonly cellar: Cellar;
  readonly watchers: readonly Onlooker[];
  readonly memory: Memory;
}

/** What a fold remembers besides the cellar. */
interface Memory {
  readonly findings: readonly Finding[];
  readonly struck: readonly StruckLine[];
  readonly consequences: ReadonlyMap<Finding, readonly Related[]>;
  readonly doubtfulNames: ReadonlyMap<string, Finding>;
  readonly waiting: readonly { readonly finding: Finding; readonly name: string }[];
  readonly causeOf: ReadonlyMap<Finding, Finding>;
  readonly stages: ReadonlyMap<LotId, LotStage>;
  /** Lots that ferment, with the line that showed it. */
  readonly ferments: ReadonlyMap<LotId, Place>;
  readonly broughtIn: BroughtIn;
}

export interface FoldDaysOptions extends FoldOptions, Pick<SequenceOptions, 'cut' | 'read'> {
  /** Goes on from here; the files have to say the same about all that was told before. Its watchers look on as well. */
  readonly from?: FoldPause;
  /**
   * Asked before each day, with what takes a pause there: that gives nothing where a watcher cannot be copied. Where it
   * says true the fold stops.
   */
  readonly before?: (at: Pause, take: () => FoldPause | undefined) => boolean;
}

/** A fold as far as it went. */
export interface FoldedDays {
  /** It stopped before the end. */
  readonly paused: boolean;
  /** Those who looked on. */
  readonly watchers: readonly Onlooker[];
  /** Lets the watchers speak and tells all there is to say; for a fold that reached the end. */
  end(): Folded;
}

/** The place of a line of a file, with a word of it marked where the word stands there. */
export function whereInLine(files: readonly SourceFile[], place: Place, mark: string | undefined): Where {
  const text = files[place.file]?.text ?? '';
  const line = lineAt(text, place.line);
  const at = mark === undefined || mark === '' ? -1 : indexOfWord(line, mark);
  if (at >= 0 && mark !== undefined)
    return { file: place.file, line: place.line, column: at + 1, endColumn: at + 1 + mark.length };
  const from = line.length - line.trimStart().length;
  const comment = line.search(/\s(--|—|#)(\s|$)/);
  const to = (comment > from ? line.slice(0, comment) : line).trimEnd().length;
  return { file: place.file, line: place.line, column: from + 1, endColumn: Math.max(from + 2, to + 1) };
}

/** The first place where a word stands by itself in a line, case aside. */
function indexOfWord(line: string, word: string): number {
  const lower = line.toLowerCase();
  const wanted = word.toLowerCase();
  for (let at = lower.indexOf(wanted); at !== -1; at = lower.indexOf(wanted, at + 1)) {
    const before = lower.charAt(at - 1);
    const after = lower.charAt(at + wanted.length);
    if (!/[\p{L}\p{N}_]/u.test(before) && !/[\p{L}\p{N}_]/u.test(after)) return at;
  }
  return -1;
}

/** Folds journal files into a cellar; pure, and never throws for what they say. */
export function foldJournal(files: readonly SourceFile[], options: FoldOptions = {}): Folded {
  return foldDays(files, options).end();
}

const copyOfLists = <K, V>(lists: ReadonlyMap<K, readonly V[]> | undefined): Map<K, V[]> =>
  new Map([...(lists ?? [])].map(([key, list]) => [key, [...list]]));

/** As `foldJournal`, from a pause and up to one, for whoever folds nearly the same files again and again. */
export function foldDays(files: readonly SourceFile[], options: FoldDaysOptions): FoldedDays {
  const { from } = options;
  const register = from?.register.copy() ?? new Register();
  const cellar = from?.cellar.copy(register) ?? new Cellar(register);
  /** About the lines of days: they are told anew by every fold. */
  const dayFindings: Finding[] = [];
  const findings: Finding[] = [...(from?.memory.findings ?? [])];
  const struck: StruckLine[] = [...(from?.memory.struck ?? [])];
  const consequences = copyOfLists(from?.memory.consequences);
  /** Names that stood in a line that could not be read: what they lack is that line's doing. */
  const doubtfulNames = new Map(from?.memory.doubtfulNames);
  const waiting = [...(from?.memory.waiting ?? [])];
  /** A finding kept back because another is its cause. */
  const causeOf = new Map(from?.memory.causeOf);
  const watchers = [
    ...(from?.watchers ?? []).flatMap((watcher) => watcher.copy?.(cellar) ?? []),
    ...(options.watchers ?? []).map((make) => make(cellar)),
  ];

  const report = (finding: Finding): void => {
    findings.push(finding);
  };
  const blame = (cause: Finding, where: Where, message: string): void => {
    const told = consequences.get(cause);
    const related = { where, message: `because of it: ${message}` };
    if (told === undefined) consequences.set(cause, [related]);
    else told.push(related);
  };

  function complain(
    place: Place,
    complaint: Omit<Complaint, 'place'>,
    sic: boolean,
    doubt: Finding | undefined,
  ): Finding | undefined {
    const { code, message } = complaint;
    if (sic && severityOf(code) !== 'error') return undefined;
    const where = whereInLine(files, place, complaint.mark);
    if (doubt !== undefined) {
      blame(doubt, where, message);
      return doubt;
    }
    const finding: Finding = {
      code,
      severity: severityOf(code),
      where,
      message,
      ...(complaint.help === undefined ? {} : { help: complaint.help }),
      ...(complaint.instead === undefined ? {} : { fixes: [{ where, text: complaint.instead }] }),
      related:
        complaint.related === undefined
          ? []
          : [{ where: whereInLine(files, complaint.related.place, undefined), message: complaint.related.message }],
    };
    report(finding);
    return finding;
  }

  const fromEvent = (event: Event, complaint: Complaint, doubt: Finding | undefined): Finding | undefined =>
    complain(complaint.place ?? event.place, complaint, event.sic, doubt);

  const say: Say = (place, complaint, sic = false) => {
    complain(place, complaint, sic, cellar.doubtAbout(complaint.vessels ?? [], complaint.lots ?? []));
  };

  function doubtVessel(id: VesselId, cause: Finding): void {
    const state = cellar.vessel(id);
    state.doubt ??= cause;
  }

  /** A lot that begins under a name an unread line had told of lacks what that line said. */
  function doubtNewLot(event: Event): void {
    if (doubtfulNames.size === 0) return;
    const id =
      event.kind === 'receive' ? event.lot : event.kind === 'found' || event.kind === 'bring' ? event.as : undefined;
    const cause = id === undefined ? undefined : doubtfulNames.get(foldName(register.lot(id).name));
    if (id !== undefined && cause !== undefined) cellar.lot(id).doubt ??= cause;
  }

  /** A line that was not counted: its names are in doubt from here on, and what they hold where its verb moves wine. */
  function unread(words: readonly { text: string; to?: string }[], cause: Finding, doubt: boolean): void {
    const inDoubt = (name: string): void => {
      const named = register.place(name);
      if (named === undefined) {
        const key = foldName(name);
        if (!doubtfulNames.has(key)) doubtfulNames.set(key, cause);
      } else if (!doubt) return;
      else if (named.kind === 'vessel') doubtVessel(named.id, cause);
      else if (named.kind === 'lot') {
        const lot = cellar.lot(named.id);
        lot.doubt ??= cause;
        for (const id of lot.vessels) doubtVessel(id, cause);
      }
    };
    for (const word of words) {
      const members = word.to === undefined ? undefined : rangeNames(word.text, word.to);
      if (members === undefined) inDoubt(word.text);
      else if ('names' in members) for (const name of members.names) inDoubt(name);
    }
  }

  const known = new Map(from?.memory.stages);
  const ferments = new Map(from?.memory.ferments);
  const broughtIn = from?.memory.broughtIn.copy() ?? new BroughtIn();
  let nextEnd = firstEnd();

  /** When the first of the ferments will have lasted longer than ferments do. */
  function firstEnd(): Minute {
    let first = Number.POSITIVE_INFINITY;
    for (const id of ferments.keys()) first = Math.min(first, endOfFerment(cellar.lot(id)));
    return first;
  }

  function follow(event: Event, changed: ReadonlyMap<LotId, LotStage>): void {
    if (changed.size === 0) return;
    for (const id of changed.keys()) {
      if (cellar.lot(id).stage === 'fermenting') ferments.set(id, event.place);
      else ferments.delete(id);
    }
    nextEnd = firstEnd();
  }

  /** Days pass and nobody writes: ferments that have lasted too long by a minute ended on their own days. */
  function pass(until: Minute): void {
    while (nextEnd <= until) {
      const minute = nextEnd;
      for (const [id, place] of [...ferments].sort(([a], [b]) => a - b)) {
        const lot = cellar.lot(id);
        if (endOfFerment(lot) > minute) continue;
        // what lies on its skins ends when it leaves them
        ferments.delete(id);
        if (stageOn(cellar, lot, minute) === 'wine') endNobodyTold(id, minute, place);
      }
      nextEnd = firstEnd();
    }
  }

  function endNobodyTold(id: LotId, minute: Minute, place: Place): void {
    const lot = cellar.lot(id);
    const remark = `${lot.facts.name} began to ferment ${LONGEST_FERMENT / 1440} days ago, and counts as wine from here on`;
    const event: DayNote = { kind: 'day', verb: 'note', minute, place, hands: [], sic: false, remark };
    const deed = new Deed(cellar, event, fromEvent);
    deed.touchedLots.add(id);
    for (const vessel of lot.vessels) deed.touchedVessels.add(vessel);
    lot.stage = 'wine';
    known.set(id, 'wine');
    const changed = new Map<LotId, LotStage>([[id, 'fermenting']]);
    deed.became = makeWine(deed, changed, new Set());
    for (const watcher of watchers) watcher.after(deed, changed);
  }

  function pause(at: Pause): FoldPause | undefined {
    const copyOfRegister = register.copy();
    const copyOfCellar = cellar.copy(copyOfRegister);
    const copies = watchers.flatMap((watcher) => watcher.copy?.(copyOfCellar) ?? []);
    if (copies.length < watchers.length) return undefined;
    const memory = {
      findings: [...findings],
      struck: [...struck],
      consequences: copyOfLists(consequences),
      doubtfulNames: new Map(doubtfulNames),
      waiting: [...waiting],
      causeOf: new Map(causeOf),
      stages: new Map(known),
      ferments: new Map(ferments),
      broughtIn: broughtIn.copy(),
    };
    return { at, register: copyOfRegister, cellar: copyOfCellar, watchers: copies, memory };
  }

  const { before } = options;
  const sequence = readSequence(
    files,
    register,
    {
      report,
      struck: (line) => {
        struck.push(line);
      },
      reportDay: (finding) => {
        dayFindings.push(finding);
      },
      wait: ({ finding, name }) => {
        const cause = doubtfulNames.get(foldName(name));
        if (cause === undefined) {
          waiting.push({ finding, name });
          return;
        }
        blame(cause, finding.where, finding.message);
        causeOf.set(finding, cause);
      },
      unread: (one) => {
        unread(one.words, causeOf.get(one.finding) ?? one.finding, one.doubt);
        for (const watcher of watchers) watcher.unread?.(one);
      },
      event: (event) => {
        pass(event.minute);
        doubtNewLot(event);
        const deed = new Deed(cellar, event, fromEvent);
        carryOut(deed);
        deed.passDoubtOn();
        if (event.written !== undefined && event.written * 1440 + 1439 < event.minute) {
          deed.say({
            code: 'written-before',
            message: 'it was written before the day it tells of',
            help: 'mend one of the two days',
            mark: 'written',
            vessels: [],
          });
        }
        const provedMust = broughtIn.see(deed);
        const changed = stages(cellar, event, deed, known);
        follow(event, changed);
        deed.became = makeWine(deed, changed, provedMust);
        for (const watcher of watchers) watcher.after(deed, changed);
      },
    },
    {
      ...(options.until === undefined ? {} : { until: options.until }),
      ...(options.cut === undefined ? {} : { cut: options.cut }),
      ...(options.read === undefined ? {} : { read: options.read }),
      ...(from === undefined ? {} : { from: from.at }),
      ...(before === undefined ? {} : { before: (at: Pause) => before(at, () => pause(at)) }),
    },
  );

  const last = options.until ?? sequence.lastDay;
  if (!sequence.paused && last !== undefined) pass((last + 1) * 1440 - 1);

  return { paused: sequence.paused, watchers, end };

  function end(): Folded {
    for (const watcher of watchers) watcher.end?.(say);

    // a name that was unknown where it stood may be declared on a later day
    for (const { finding, name } of waiting) {
      const named = register.place(name);
      const place = named === undefined ? undefined : register.placeOf(named);
      if (named === undefined || place === undefined || finding.code === 'verb-unknown') {
        report(finding);
        continue;
      }
      const fact = named.kind === 'vessel' || named.kind === 'block';
      report({
        ...finding,
        code: 'name-too-early',
        severity: severityOf('name-too-early'),
        fixes: [],
        message: fact
          ? `\`${name}\` is named here before the day it holds from`
          : `\`${name}\` is named here before it is there`,
        help: fact
          ? 'move the line that declares it above the first day, or mend the day'
          : 'mend the time or the day of one of the two lines',
        related: [
          { where: whereInLine(files, place, name), message: fact ? 'it is declared here' : 'it first comes up here' },
        ],
      });
    }

    const told = [...dayFindings, ...findings].map((finding) => {
      const related = consequences.get(finding);
      return related === undefined ? finding : { ...finding, related: [...finding.related, ...related] };
    });
    told.sort(compareFindings);
    return {
      register,
      cellar,
      firstDay: sequence.firstDay,
      lastDay: sequence.lastDay,
      entries: sequence.entries,
      struck,
      findings: told,
    };
  }
}

const NOTHING: ReadonlyMap<LotId, LotStage> = new Map();

/** Kinds of event that leave the stage of every lot alone. */
const STILL: ReadonlySet<Event['kind']> = new Set<Event['kind']>(['buy', 'cap', 'work', 'kept', 'day', 'count']);

/** Works out the stages of the lots an event touched; gives those that changed with what they were. */
function stages(cellar: Cellar, event: Event, deed: Deed, known: Map<LotId, LotStage>): ReadonlyMap<LotId, LotStage> {
  if (STILL.has(event.kind)) return NOTHING;
  let changed: Map<LotId, LotStage> | undefined;
  for (const id of deed.touchedLots) {
    if (id < 0) continue;
    const lot = cellar.lot(id);
    const was = known.get(id);
    lot.stage = stageAfter(cellar, event, lot, known);
    if (was !== lot.stage) {
      changed ??= new Map();
      changed.set(id, was ?? 'fruit');
    }
  }
  for (const id of changed?.keys() ?? []) {
    const lot = cellar.lot(id);
    known.set(id, lot.stage);
    if (lot.stage === 'fermenting') lot.fermentSince = event.minute;
  }
  return changed ?? NOTHING;
}
