/** The stages of a lot in the words of the trade. */
import type { LotStage } from '../cellar/book.ts';

const WORDS: Readonly<Record<LotStage, string>> = {
  fruit: 'fruit',
  must: 'must',
  juice: 'juice',
  fermenting: 'fermenting',
  wine: 'wine',
  bottled: 'bottled',
  gone: 'used up',
};

export function stageWord(stage: LotStage): string {
  return WORDS[stage];
}
