/**
 * What a page was made from, found out by looking on while it is made: a book that notes what is read of it. A page need
 * not be made again for another book in which all it read says the same.
 */
import type { Book } from '../cellar/book.ts';
import { contextOf, type ReportContext } from '../report/context.ts';
import { type Known, listenToLookUps } from '../report/known.ts';
import { sameThroughout } from './same.ts';

type AnyKnown = Known<never, unknown>;

/** Lists whose members are noted property by property: most pages want one or two of each. */
const BY_PROPERTY = ['lots', 'vessels', 'files'] as const;
/** Lists whose members never change, noted one by one. */
const BY_MEMBER = ['happenings'] as const;
type ByProperty = (typeof BY_PROPERTY)[number];

/** Reads of one list beyond which the whole of it counts as read. */
const MOST_NOTED = 4096;
/** Properties that are told apart. */
const MOST_PROPERTIES = 64;

/** All that was read while something was worked out. */
export interface Reads {
  /** Properties of the book. */
  readonly whole: ReadonlySet<string>;
  readonly lengths: ReadonlySet<string>;
  /** Members of lists, by list: `member * MOST_PROPERTIES + property`, or the member alone. */
  readonly members: ReadonlyMap<string, Int32Array>;
  /** Look-ups: a path into what was found, or an empty one for all of it. */
  readonly found: ReadonlyMap<AnyKnown, readonly (readonly unknown[])[]>;
  /** Something was read that cannot be noted: it may be different every time. */
  readonly unknown: boolean;
}

class Noting {
  readonly whole = new Set<string>();
  readonly lengths = new Set<string>();
  readonly members = new Map<string, Set<number>>();
  readonly found = new Map<AnyKnown, Map<string, readonly unknown[]>>();
  unknown = false;

  member(list: string, code: number): void {
    let codes = this.members.get(list);
    if (codes === undefined) {
      codes = new Set();
      this.members.set(list, codes);
    }
    if (codes.size < MOST_NOTED) codes.add(code);
    else this.whole.add(list);
  }

  look(known: AnyKnown, path: readonly unknown[]): void {
    let paths = this.found.get(known);
    if (paths === undefined) {
      paths = new Map();
      this.found.set(known, paths);
    }
    paths.set(path.map(String).join('\0'), path);
  }

  reads(): Reads {
    return {
      whole: this.whole,
      lengths: this.lengths,
      members: new Map(
        [...this.members]
          .filter(([list]) => !this.whole.has(list))
          .map(([list, codes]) => [list, Int32Array.from(codes).sort()]),
      ),
      found: new Map([...this.found].map(([known, paths]) => [known, [...paths.values()]])),
      unknown: this.unknown,
    };
  }
}

const PLAIN = new WeakMap<object, object>();
const plain = (of: object): object => PLAIN.get(of) ?? of;

/** Whether two things made from two books say the same. */
export const same = (a: unknown, b: unknown): boolean => sameThroughout(a, b, plain);

/** The numbers of properties, the same in every book. */
const PROPERTIES: string[] = ['*'];
const numberOf = new Map<string, number>([['*', 0]]);
function propertyNumber(name: string): number {
  let number = numberOf.get(name);
  if (number === undefined) {
    number = PROPERTIES.length < MOST_PROPERTIES ? PROPERTIES.push(name) - 1 : 0;
    numberOf.set(name, number);
  }
  return number;
}

/** A book whose readers are noted. */
export class NotedBook {
  readonly plain: Book;
  readonly context: ReportContext;
  /** What was found by look-ups, and where each is kept. */
  readonly values = new Map<AnyKnown, unknown>();
  private readonly book: Book;
  private noting: Noting | undefined;
  /** Look-ups that are being worked out, the innermost last; what they read is theirs. */
  private readonly working: { readonly known: AnyKnown; readonly above: Noting | undefined }[] = [];

  constructor(book: Book) {
    this.plain = book;
    this.book = this.noted(book);
    this.context = contextOf(this.book);
  }

  /** Works something out, and tells what it read. Not to be called while it is at work. */
  note<T>(work: () => T): { readonly value: T; readonly reads: Reads } {
    const noting = new Noting();
    const value = this.listening(noting, work);
    return { value, reads: noting.reads() };
  }

  /** Works something out that nobody wants to know the reads of. */
  private listening<T>(noting: Noting | undefined, work: () => T): T {
    this.noting = noting;
    listenToLookUps({
      found: (known, of, value) => {
        if (this.noting !== undefined && !this.isOurs(known, of)) this.noting.unknown = true;
        if (!this.values.has(known)) this.values.set(known, value);
        return this.noting === undefined ? value : this.view(known, value, []);
      },
      missed: (known, of) => {
        if (this.noting !== undefined && !this.isOurs(known, of)) this.noting.unknown = true;
        this.working.push({ known, above: this.noting });
        // what it reads does not count: what it comes to is compared
        this.noting = undefined;
      },
      kept: (known, _, value) => {
        this.values.set(known, value);
        const innermost = this.working.pop();
        this.noting = innermost?.above;
        if (innermost?.known !== known && noting !== undefined) noting.unknown = true;
        // whoever worked it out holds it as it is
        this.noting?.look(known, []);
      },
    });
    try {
      return work();
    } finally {
      listenToLookUps(undefined);
      // one that was begun and never kept has hidden what was read since
      if (this.working.length > 0 && noting !== undefined) noting.unknown = true;
      this.noting = undefined;
      this.working.length = 0;
    }
  }

  /** What a look-up comes to in this book. */
  lookUp(known: AnyKnown): unknown {
    if (!this.values.has(known)) {
      const work = known.work as unknown as (of: object) => unknown;
      const of = OF.get(known) === 'book' ? this.book : this.context;
      this.values.set(
        known,
        this.listening(undefined, () => work(of)),
      );
    }
    return this.values.get(known);
  }

  /** A look-up of this book or its context; which of the two is remembered. */
  private isOurs(known: AnyKnown, of: object): boolean {
    if (of === this.book) OF.set(known, 'book');
    else if (of === this.context) OF.set(known, 'context');
    else return false;
    return true;
  }

  /** What was found, noted part by part: members of maps and of plain objects. */
  private view(known: AnyKnown, value: unknown, path: readonly unknown[]): unknown {
    if (typeof value !== 'object' || value === null) {
      this.noting?.look(known, path);
      return value;
    }
    if (value instanceof Map) return this.mapView(known, value, path);
    if (path.length === 0 && Object.getPrototypeOf(value) === Object.prototype) {
      return new Proxy(value, {
        get: (target, name) => this.view(known, Reflect.get(target, name), [name]),
        ownKeys: (target) => {
          this.noting?.look(known, path);
          return Reflect.ownKeys(target);
        },
      });
    }
    this.noting?.look(known, path);
    return value;
  }

  private mapView(known: AnyKnown, map: Map<unknown, unknown>, path: readonly unknown[]): unknown {
    return new Proxy(map, {
      get: (target, name) => {
        if (name === 'get' || name === 'has') {
          return (key: unknown) => {
            this.noting?.look(known, [...path, new Key(key)]);
            return name === 'get' ? target.get(key) : target.has(key);
          };
        }
        this.noting?.look(known, name === 'keys' || name === 'size' ? [...path, KEYS] : path);
        const member = Reflect.get(target, name, target);
        return typeof member === 'function' ? member.bind(target) : member;
      },
    });
  }

  private noted(book: Book): Book {
    const lists = new Map<string, unknown>();
    for (const name of BY_PROPERTY)
      lists.set(
        name,
        this.list(
          name,
          book[name].map((one, i) => this.memberOf(name, one, i)),
        ),
      );
    for (const name of BY_MEMBER) lists.set(name, this.list(name, [...book[name]]));
    return new Proxy(book, {
      get: (target, name) => {
        if (typeof name !== 'string') return Reflect.get(target, name);
        const list = lists.get(name);
        if (list !== undefined) return list;
        this.noting?.whole.add(name);
        return Reflect.get(target, name);
      },
      ownKeys: (target) => {
        for (const name of Reflect.ownKeys(target)) this.noting?.whole.add(String(name));
        return Reflect.ownKeys(target);
      },
    });
  }

  private memberOf(list: ByProperty, member: object, index: number): object {
    const note = (name: string): void => this.noting?.member(list, index * MOST_PROPERTIES + propertyNumber(name));
    const noted = new Proxy(member, {
      get: (target, name) => {
        if (typeof name === 'string') note(name);
        return Reflect.get(target, name);
      },
      has: (target, name) => {
        if (typeof name === 'string') note(name);
        return Reflect.has(target, name);
      },
      ownKeys: (target) => {
        note('*');
        return Reflect.ownKeys(target);
      },
    });
    PLAIN.set(noted, member);
    return noted;
  }

  private list(name: string, members: readonly unknown[]): unknown {
    const byMember = (BY_MEMBER as readonly string[]).includes(name);
    return new Proxy(members, {
      get: (target, key) => {
        const { noting } = this;
        if (typeof key === 'string' && /^\d+$/.test(key)) {
          if (byMember) noting?.member(name, Number(key));
          // whether there is such a member at all
          else if (!(key in target)) noting?.lengths.add(name);
          return Reflect.get(target, key);
        }
        if (key === 'length' || !byMember) noting?.lengths.add(name);
        else noting?.whole.add(name);
        const member = Reflect.get(target, key);
        return typeof member === 'function' ? member.bind(target) : member;
      },
      has: (target, key) => {
        this.noting?.lengths.add(name);
        return Reflect.has(target, key);
      },
      ownKeys: (target) => {
        this.noting?.lengths.add(name);
        return Reflect.ownKeys(target);
      },
    });
  }
}

/** The keys of a map without what they lead to. */
const KEYS = Symbol('keys');

/** A key of a map, where a name of an object could be taken for one. */
class Key {
  readonly key: unknown;
  constructor(key: unknown) {
    this.key = key;
  }
  toString(): string {
    return `${typeof this.key} ${String(this.key)}`;
  }
}

/** Whether a look-up is of a book or of a context. */
const OF = new WeakMap<AnyKnown, 'book' | 'context'>();

/** Two books, and what says the same in both. */
export class Compared {
  private readonly before: NotedBook;
  private readonly now: NotedBook;
  private readonly wholes = new Map<string, boolean>();
  private readonly members = new Map<string, Map<number, boolean>>();
  private readonly paths = new Map<AnyKnown, Map<string, boolean>>();
  private readonly alike = new Map<string, number>();

  /** What pages have at hand without reading it: settings, and the paths of pages. */
  private readonly sameAround: boolean;

  constructor(before: NotedBook, now: NotedBook) {
    this.before = before;
    this.now = now;
    this.sameAround = sameAround(before.context, now.context);
  }

  /** All that was read says the same in both books. */
  allSame(reads: Reads): boolean {
    if (reads.unknown || !this.sameAround) return false;
    for (const name of reads.whole) if (!this.isWhole(name)) return false;
    for (const name of reads.lengths)
      if (this.listIn('before', name).length !== this.listIn('now', name).length) return false;
    for (const [list, codes] of reads.members) {
      // members never change: those before the first other one are the same
      const last = codes[codes.length - 1] ?? -1;
      if ((BY_MEMBER as readonly string[]).includes(list) && last < this.alikeIn(list)) continue;
      for (const code of codes) if (!this.isMember(list, code)) return false;
    }
    for (const [known, paths] of reads.found) {
      for (const path of paths) if (!this.isPath(known, path)) return false;
    }
    return true;
  }

  /** How many members at the beginning of a list are one and the same in both books. */
  private alikeIn(list: string): number {
    let alike = this.alike.get(list);
    if (alike === undefined) {
      const [a, b] = [this.listIn('before', list), this.listIn('now', list)];
      alike = 0;
      while (alike < a.length && alike < b.length && a[alike] === b[alike]) alike++;
      this.alike.set(list, alike);
    }
    return alike;
  }

  private listIn(which: 'before' | 'now', name: string): readonly unknown[] {
    const list = Reflect.get(this[which].plain, name);
    return Array.isArray(list) ? list : [];
  }

  private isWhole(name: string): boolean {
    let is = this.wholes.get(name);
    if (is === undefined) {
      is = same(Reflect.get(this.before.plain, name), Reflect.get(this.now.plain, name));
      this.wholes.set(name, is);
    }
    return is;
  }

  private isMember(list: string, code: number): boolean {
    let members = this.members.get(list);
    if (members === undefined) {
      members = new Map();
      this.members.set(list, members);
    }
    let is = members.get(code);
    if (is === undefined) {
      const byProperty = (BY_PROPERTY as readonly string[]).includes(list);
      const index = byProperty ? Math.floor(code / MOST_PROPERTIES) : code;
      const [a, b] = [this.listIn('before', list)[index], this.listIn('now', list)[index]];
      const property = byProperty ? (PROPERTIES[code % MOST_PROPERTIES] ?? '*') : '*';
      is =
        property === '*' || typeof a !== 'object' || typeof b !== 'object' || a === null || b === null
          ? same(a, b)
          : same(Reflect.get(a, property), Reflect.get(b, property));
      members.set(code, is);
    }
    return is;
  }

  private isPath(known: AnyKnown, path: readonly unknown[]): boolean {
    let paths = this.paths.get(known);
    if (paths === undefined) {
      paths = new Map();
      this.paths.set(known, paths);
    }
    const key = path.map(String).join('\0');
    let is = paths.get(key);
    if (is === undefined) {
      is = same(at(this.before.lookUp(known), path), at(this.now.lookUp(known), path));
      paths.set(key, is);
    }
    return is;
  }
}

/** Paths of further pages change nothing for those who know nothing of them. */
function sameAround(before: ReportContext, now: ReportContext): boolean {
  for (const [name, value] of Object.entries(now)) {
    if (name === 'book') continue;
    const old = Reflect.get(before, name);
    if (name !== 'links') {
      if (!same(old, value)) return false;
      continue;
    }
    for (const [kind, paths] of Object.entries(now.links)) {
      const known = Reflect.get(before.links, kind);
      if (typeof paths === 'function') continue;
      if (!Array.isArray(paths) || !Array.isArray(known)) return false;
      if (known.length > paths.length || !known.every((path, i) => path === paths[i])) return false;
    }
  }
  return true;
}

/** What stands at the end of a path. */
function at(value: unknown, path: readonly unknown[]): unknown {
  let here = value;
  for (const step of path) {
    if (step === KEYS) here = here instanceof Map ? [...here.keys()] : undefined;
    else if (step instanceof Key) here = here instanceof Map ? here.get(step.key) : undefined;
    else here = typeof here === 'object' && here !== null ? Reflect.get(here, step as PropertyKey) : undefined;
  }
  return here;
}
