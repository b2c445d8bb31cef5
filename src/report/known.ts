/**
 * What is worked out once for a book or a context, and asked for by many pages. Whoever makes pages again and again may
 * listen to who asks for what; for anybody else it is a map that forgets what nobody holds any more.
 */

/** Told of every look-up while it listens. */
export interface LookUps {
  /** Asked for, and there; gives what is handed on in its place, which says the same. */
  found(known: Known<never, unknown>, of: object, value: unknown): unknown;
  /** Asked for, and not there: it is worked out now, until it is `kept`. */
  missed(known: Known<never, unknown>, of: object): void;
  kept(known: Known<never, unknown>, of: object, value: unknown): void;
}

let listening: LookUps | undefined;

/** Somebody listens from now on, or nobody. */
export function listenToLookUps(to: LookUps | undefined): void {
  listening = to;
}

/** Such a look-up. All of its kind go through this one, or a page that is kept could not tell that it has to change. */
export class Known<K extends object, V> {
  private readonly values = new WeakMap<K, V>();
  /** Works it out and keeps it here. */
  readonly work: (of: K) => V;

  constructor(work: (of: K) => V) {
    this.work = work;
  }

  get(of: K): V | undefined {
    const value = this.values.get(of);
    if (listening === undefined) return value;
    if (value !== undefined) return listening.found(this as unknown as Known<never, unknown>, of, value) as V;
    listening.missed(this as unknown as Known<never, unknown>, of);
    return undefined;
  }

  set(of: K, value: V): void {
    this.values.set(of, value);
    listening?.kept(this as unknown as Known<never, unknown>, of, value);
  }
}
