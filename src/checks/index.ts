/** Every check, in the order they look on. */
import type { Check } from './check.ts';
import { claims } from './claims.ts';
import { doses } from './doses.ts';
import { emptyVessels } from './empty-vessels.ts';
import { limits } from './limits.ts';
import { lotAccounts } from './lot-accounts.ts';
import { orderOfWork } from './order-of-work.ts';
import { plans } from './plans.ts';
import { questions } from './questions.ts';
import { readings } from './readings.ts';
import { slowFerments } from './slow-ferments.ts';
import { waitingFruit } from './waiting-fruit.ts';
import { warmFerments } from './warm-ferments.ts';
import { yields } from './yields.ts';

export const CHECKS: readonly Check[] = [
  orderOfWork,
  emptyVessels,
  doses,
  questions,
  limits,
  claims,
  readings,
  warmFerments,
  slowFerments,
  yields,
  waitingFruit,
  plans,
  lotAccounts,
];
