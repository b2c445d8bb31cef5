/** A page to be made: its template, and its model, worked out only when its turn comes. */
import type { Markdown } from './markdown.ts';

export interface Planned {
  readonly template: string;
  readonly path: string;
  readonly title: string;
  readonly model: () => object | undefined;
  readonly markdown: Markdown;
  /**
   * All that the model is made from beside the context and members of the book's lists of lots and vessels. A page that
   * says so may be kept for another book in which these and all it read are the same; others are made each time.
   */
  readonly from?: readonly unknown[];
}

export const madeFrom = (planned: Planned, ...from: readonly unknown[]): Planned => ({ ...planned, from });
