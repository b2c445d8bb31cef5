/** The types of the journal generator. */
export interface Generated {
  readonly files: readonly { readonly path: string; readonly text: string }[];
}

/** A journal of about so many lines that checks clean. */
export function generateJournal(size: number): Generated;

/** Numbers from 0 to 1, the same for the same seed. */
export function randomFrom(seed: number): () => number;
