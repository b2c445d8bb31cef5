/** Every kind of event and what carries it out; the compiler asks for the one that is missing. */
import type { Deed } from '../deed.ts';
import { add } from './additions.ts';
import { crush, press, receive, sort } from './fruit.ts';
import { count, dip, reading } from './measures.ts';
import { bottle, bring, found, leave, move, top } from './movements.ts';
import { naming } from './naming.ts';

/** Cap work, other work, what is kept as written, a day's note: they touch and change nothing. */
function touch(deed: Deed): void {
  const { event } = deed;
  if (event.kind !== 'cap' && event.kind !== 'work' && event.kind !== 'kept') return;
  const except = event.kind === 'kept' ? [] : deed.vesselsOf(event.except);
  for (const id of deed.vesselsOf(event.targets, except)) deed.touch(id);
  for (const target of event.targets) if (target.kind === 'lot') deed.touchedLots.add(target.lot);
}

export function carryOut(deed: Deed): void {
  const { event } = deed;
  switch (event.kind) {
    case 'receive':
      receive(deed, event);
      break;
    case 'sort':
      sort(deed, event);
      break;
    case 'crush':
      crush(deed, event);
      break;
    case 'press':
      press(deed, event);
      break;
    case 'move':
      move(deed, event);
      break;
    case 'top':
      top(deed, event);
      break;
    case 'bottle':
      bottle(deed, event);
      break;
    case 'found':
      found(deed, event);
      break;
    case 'bring':
      bring(deed, event);
      break;
    case 'leave':
      leave(deed, event);
      break;
    case 'add':
      add(deed, event);
      break;
    case 'reading':
      reading(deed, event);
      break;
    case 'dip':
      dip(deed, event);
      break;
    case 'count':
      count(deed, event);
      break;
    case 'naming':
      naming(deed, event);
      break;
    case 'buy':
    case 'cap':
    case 'work':
    case 'kept':
    case 'day':
      touch(deed);
      break;
  }
}
