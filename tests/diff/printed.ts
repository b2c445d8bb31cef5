/** Runs a command in this process and keeps what it prints. */
import { vi } from 'vitest';
import { type DiffOptions, diff } from '../../src/cli/diff.ts';
import { history } from '../../src/cli/history.ts';

export interface Printed {
  readonly status: number;
  readonly out: string;
  readonly error: string;
}

async function printed(run: () => Promise<number>): Promise<Printed> {
  const texts = { out: '', error: '' };
  const keep = (which: 'out' | 'error') =>
    vi.spyOn(which === 'out' ? process.stdout : process.stderr, 'write').mockImplementation((text) => {
      texts[which] += String(text);
      return true;
    });
  const spies = [keep('out'), keep('error')];
  try {
    return { status: await run(), ...texts };
  } finally {
    for (const spy of spies) spy.mockRestore();
  }
}

const OPTIONS: Omit<DiffOptions, 'journal'> = { format: 'text', all: false };

/** `ullage diff`, with at most two words. */
export const diffIn = (
  journal: string,
  words: readonly string[],
  options: Partial<DiffOptions> = {},
): Promise<Printed> => printed(() => diff(words[0], words[1], { ...OPTIONS, journal, ...options }));

/** As JSON, for what is there to be looked at. */
export async function jsonIn(journal: string, words: readonly string[]) {
  const { status, out, error } = await diffIn(journal, words, { format: 'json' });
  return { status, error, json: JSON.parse(out === '' ? 'null' : out) as ComparisonJson };
}

export const historyIn = (journal: string, lot: string, format: 'text' | 'json' = 'text'): Promise<Printed> =>
  printed(() => history(lot, { journal, format, all: false }));

interface ChangeJson {
  readonly class: string;
  readonly kind: string;
  readonly lines: readonly { readonly before: { text: string } | null; readonly after: { text: string } | null }[];
  readonly commits: readonly number[] | null;
}

/** The parts of a comparison's JSON that cases look at; the schema holds the rest. */
export interface ComparisonJson {
  readonly before: { readonly kind: string; readonly newestDay: string | null; readonly entries: number };
  readonly after: ComparisonJson['before'];
  readonly unseen: readonly string[];
  readonly changes: readonly ChangeJson[];
  readonly findings: { readonly found: readonly { readonly code: string }[] };
  readonly commits:
    | readonly {
        readonly commit: {
          readonly id: string;
          readonly author: string;
          readonly date: string;
          readonly subject: string;
        } | null;
        readonly takenBack: boolean;
        readonly unseen: boolean;
        readonly corrections: readonly ChangeJson[];
        readonly late: readonly ChangeJson[];
        readonly new: number;
      }[]
    | null;
}

/** `correction changed: 10:00 dip T1 100 L → 10:00 dip T1 110 L` */
export const sayJson = ({ class: kind, kind: what, lines }: ChangeJson): string =>
  `${kind} ${what}: ${lines.map(({ before, after }) => `${before?.text ?? ''} → ${after?.text ?? ''}`.trim()).join(' | ')}`;
