/** Every check, in the order they look on. */
import { acidRead } from './acid-read.ts';
import { annualLosses } from './annual-losses.ts';
import type { Check } from './check.ts';
import { claims } from './claims.ts';
import { doses } from './doses.ts';
import { emptyVessels } from './empty-vessels.ts';
import { expiredMaterials } from './expired-materials.ts';
import { labelTrail } from './label-trail.ts';
import { lateEntries } from './late-entries.ts';
import { limits } from './limits.ts';
import { lotAccounts } from './lot-accounts.ts';
import { orderOfWork } from './order-of-work.ts';
import { plans } from './plans.ts';
import { questions } from './questions.ts';
import { readings } from './readings.ts';
import { slowFerments } from './slow-ferments.ts';
import { waitingFruit } from './waiting-fruit.ts';
import { warmFerments } from './warm-ferments.ts';
import { waterAndSugar } from './water-and-sugar.ts';
import { yields } from './yields.ts';

export const CHECKS: readonly Check[] = [
  orderOfWork,
  emptyVessels,
  doses,
  questions,
  limits,
  claims,
  labelTrail,
  lateEntries,
  expiredMaterials,
  waterAndSugar,
  acidRead,
  readings,
  warmFerments,
  slowFerments,
  yields,
  waitingFruit,
  plans,
  annualLosses,
  lotAccounts,
];
