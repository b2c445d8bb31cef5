/** Volumes where no law is chosen: still wine is one class, and nothing is asked of it. */
import type { VolumeRules } from './volume-rules.ts';

export const NO_VOLUMES: VolumeRules = {
  classes: [{ id: 'still', title: 'Still wine', effervescent: false }],
  sparkling: { id: 'sparkling', title: 'Sparkling wine', effervescent: true },
  carbonated: { id: 'carbonated', title: 'Effervescent wine nobody calls sparkling', effervescent: true },
  gas: undefined,
  gallons: undefined,
  produced: undefined,
  blended: undefined,
  losses: undefined,
  periods: [],
  asked: undefined,
  rules: [],
};
