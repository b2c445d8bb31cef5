/** No rules: shares are shown, and compared with nothing. */
import { NO_VOLUMES } from './no-volumes.ts';
import type { RuleSet } from './rules.ts';

export const NONE: RuleSet = {
  law: 'none',
  name: 'no rules',
  version: 'none 1',
  claims: undefined,
  volumes: NO_VOLUMES,
  posting: undefined,
  making: undefined,
  trail: undefined,
  rules: [],
  caution:
    'The journal chooses no rules (`law us`, `law eu`), so these are shares and no more. The text in force and the ' +
    'authority of the place decide what a label may say; whoever is licensed answers for it.',
};
