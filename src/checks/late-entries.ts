/** Work that was put down later than the chosen law allows, by the day its line says it was written. */
import { formatDate, weekday } from '../../grammar/dates.ts';
import { lastDayToPost } from '../law/posting.ts';
import { RULE_SETS } from '../law/rule-sets.ts';
import { remembering } from './check.ts';

interface Memory {
  /** The line last told of: one line may be several events. */
  told: string;
}

const fresh = (): Memory => ({ told: '' });

const say = (day: number): string => `${weekday(day)} ${formatDate(day)}`;

export const lateEntries = remembering(fresh, (cellar, memory) => ({
  after(deed) {
    const { event } = deed;
    if (event.written === undefined) return;
    const { posting } = RULE_SETS[cellar.register.settings.law];
    const last = posting === undefined ? undefined : lastDayToPost(posting, event);
    if (posting === undefined || last === undefined || event.written <= last) return;
    const line = `${event.place.file}:${event.place.line}`;
    if (memory.told === line) return;
    memory.told = line;
    deed.say({
      code: 'entry-late',
      message: `it was written on ${say(event.written)}; ${posting.rule.section} asks for it by ${say(last)}`,
      help:
        'name the paper of the day it was taken from in its remark; weekends are left out, holidays are not known here; ' +
        'the text in force and its authority decide; `sic` answers it',
      mark: 'written',
      vessels: [],
    });
  },
}));
