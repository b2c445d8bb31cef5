/** Every code a finding can have, with its severity and title; each has a page in `grammar/findings/`. A code is never reused. */

export type Severity = 'error' | 'warning' | 'note';

interface CodeRow {
  readonly severity: Severity;
  readonly title: string;
}

const error = (title: string): CodeRow => ({ severity: 'error', title });
const warning = (title: string): CodeRow => ({ severity: 'warning', title });
const note = (title: string): CodeRow => ({ severity: 'note', title });

const rows = {
  // files
  'folder-unreadable': error('The folder is not there or cannot be read'),
  'file-unreadable': error('A file cannot be read'),
  'file-not-utf8': error('A file is not UTF-8 text'),
  'journal-empty': warning('The journal holds no entries'),
  'line-too-long': error('A line is far too long'),
  'binary-bytes': error('Bytes that are not text'),
  'merge-conflict': error('A merge was left unfinished'),
  // characters and numbers
  'odd-character': note('A look-alike character was taken for the usual one'),
  'stray-character': error('A character that has no place here'),
  'dash-for-range': error('A dash where a range is meant'),
  'decimal-comma': error('A comma inside a number'),
  'number-malformed': error('A number that cannot be read'),
  'quote-unclosed': error('A quote that is never closed'),
  'name-starts-with-digit': error('A name that begins with a digit needs quotes'),
  // days and times
  'date-impossible': error('There is no such day'),
  'date-order': error('A date in another order'),
  'weekday-wrong': warning('The weekday does not belong to the date'),
  'time-impossible': error('There is no such time'),
  'entry-without-day': error('An entry stands before any day'),
  // the shape of a line
  'verb-unknown': error('A line that begins with neither a verb nor a known name'),
  'line-unfinished': error('A line stops too early'),
  'line-malformed': error('A line that does not fit together'),
  'word-reserved': error('A reserved word used as a name'),
  'phrase-misplaced': error('A word this verb does not take'),
  'phrase-repeated': error('The same phrase twice in a line'),
  'phrase-missing': error('Something this verb needs is missing'),
  'word-stray': error('A word that has no place here'),
  'trial-row-unread': error('A row of a trial that says nothing to weigh or to pour'),
  'trial-parts-off': warning('The parts of a trial do not come to the whole'),
  'tasting-unread': error('A tasting that cannot be counted'),
  'row-misplaced': error('A row with nothing above it to belong to'),
  'cells-too-many': error('A row with more cells than columns'),
  'note-misplaced': note('A note with nothing above it'),
  // amounts and units
  'amount-missing': error('An amount is missing'),
  'unit-missing': error('An amount without its unit'),
  'unit-unknown': error('A unit that is not known'),
  'unit-refused': error('A unit with more than one meaning'),
  'unit-wrong-kind': error('A unit of the wrong kind'),
  'amount-out-of-range': error('A number beyond all reason'),
  'weight-disagrees': warning('The figure in brackets disagrees'),
  'question-answered': note('A question to the tool, answered'),
  'question-open': note('A question to the tool that lacks a figure'),
  // names
  'name-unknown': error('A name that is not declared'),
  'name-too-early': error('A name used before the day it holds from'),
  'name-taken': error('A name declared twice'),
  'name-wrong-kind': error('A name of the wrong kind'),
  'name-near': warning('A new name very like an old one'),
  'range-broken': error('A range of names that cannot be expanded'),
  'analyte-unknown': error('A measurement that is not known'),
  'substance-unknown': error('A material the tool cannot place'),
  // what must balance
  'vessel-overdrawn': error('More is taken than the vessel holds'),
  'vessel-overfull': error('More is put in than the vessel takes'),
  'vessel-empty': error('Nothing is in the vessel'),
  'vessel-retired': error('A retired vessel is used'),
  'lots-meet': error('Two lots meet without a name'),
  'lot-diluted': warning('Another lot above the topping share'),
  'lot-gone': error('A lot that is used up'),
  'fruit-short': error('More fruit is used than was received'),
  'remainder-unsaid': error('What is left is not accounted for'),
  'parts-exceed-sources': error('More comes out than went in'),
  'parts-open': error('Amounts are missing on more than one part'),
  'dip-differs': warning('A dip differs from the book'),
  'crush-density': warning('The must does not fit the weight of the fruit'),
  'stems-share': note('An unusual share of stems'),
  'pressing-yield': warning('A pressing gives more or less than fruit can'),
  'pressing-balance': warning('Must, wine and pomace do not add up'),
  'topping-short': warning('Too little to fill what was topped'),
  'bottles-short': error('More bottles than there are'),
  'count-differs': warning('A count differs from the book'),
  'lot-unbalanced': error('A lot does not add up'),
  // plans of work
  'work-missed': note('Work that a plan asks for is not in the record'),
  'bounds-left': note('A reading outside what a plan keeps to'),
  'plan-warns': warning('A reading that a plan warns of'),
  'not-under-plan': warning('Something is taken from a plan it is not under'),
  // the order of work, and slips
  'same-minute': warning('Two files act on one vessel in one minute'),
  'line-repeated': warning('The same line twice in a day'),
  'white-on-skins': warning('White fruit pressed after it fermented'),
  'red-before-yeast': warning('Red fruit pressed before it fermented'),
  'cap-without-must': warning('Cap work where there is no must'),
  'top-from-empty': warning('Topping from an empty vessel'),
  'work-on-empty': warning('Work or a reading on an empty vessel'),
  'reading-implausible': warning('A reading outside what is usual'),
  'dose-implausible': warning('A dose outside what is usual'),
  'ferment-sluggish': warning('A ferment that goes too slowly'),
  'ferment-stuck': warning('A ferment that has stopped with sugar left'),
  'ferment-warm': warning('A ferment warmer than is usual'),
  'limit-passed': warning('More than the chosen law allows'),
  'claim-not-met': warning('A label claims more than the record has'),
  'trail-broken': note('A claim that cannot be followed back to a weigh tag'),
  'claim-lost': warning('Wine that came in takes away what a label claims'),
  'brix-rising': warning('Sugar rises during a ferment'),
  'malic-rising': warning('Malic acid rises'),
  'sulfur-free-above-total': warning('Free sulfur dioxide above total'),
  'fruit-waiting': warning('Fruit that was never crushed or pressed'),
  'written-before': warning('Written before the day it tells of'),
  'material-expired': warning('A material used after the day it keeps to'),
  'acid-unread': note('Acid added without a reading before and after'),
  'loss-above-share': note('More was lost in a year than the rule gives without a claim'),
  'entry-late': note('Put down later than the chosen law allows'),
} as const satisfies Record<string, CodeRow>;

export type Code = keyof typeof rows;

export const CODES: Readonly<Record<Code, CodeRow>> = rows;
