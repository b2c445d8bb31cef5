/**
 * What to beware of beside work that can hurt. Every caution defers to the local code, to the product's safety data sheet
 * and to trained, licensed people; none says that anything is safe.
 */

export interface Caution {
  readonly title: string;
  readonly text: string;
}

export type CautionKey =
  | 'carbon dioxide'
  | 'entry'
  | 'heights'
  | 'presses'
  | 'hoses'
  | 'lifting'
  | 'sulfur dioxide'
  | 'cleaning and acids'
  | 'label claims';

/**
 * Sources. Carbon dioxide: NIOSH, IDLH documentation 124-38-9 (1994): 40 000 ppm immediately dangerous, 5 000 ppm over
 * eight hours, 30 000 ppm over fifteen minutes. Confined spaces: 29 CFR 1910.146, which tests oxygen first, then
 * flammable gas, then toxic gas. Sulfur dioxide: NIOSH, IDLH documentation 7446-09-5; that acid drives it off as gas is
 * common practice. Caustics and acids: 29 CFR 1910.1200 (hazard communication); the rest is common practice. Heights:
 * 29 CFR 1910.23 and 1910.28; machines: 29 CFR 1910.147 (lockout and tagout); forklifts: 29 CFR 1910.178(l); all three from
 * memory. Hoses, and what barrels and bins weigh: common practice, no source. Label claims: 27 CFR part 4 and the
 * authority's current text.
 */
export const CAUTIONS: Readonly<Record<CautionKey, Caution>> = {
  'carbon dioxide': {
    title: 'Carbon dioxide',
    text:
      'A ferment fills low places with gas that has no warning smell: fresh air and a meter come first, and people after ' +
      'them. Dizziness, headache or quick breath means out at once; nobody goes in after someone who has fallen without ' +
      'help and breathing gear. Your local code and trained people come before anything this page says.',
  },
  entry: {
    title: 'Bins and tanks',
    text:
      'A bin or a tank that holds or held a ferment is a confined space: no head, no arm and nobody inside it. Rake and ' +
      'rinse from outside; where entry is truly needed, stop and call the trained lead, who works by the local code, with ' +
      'the air tested and a person outside.',
  },
  heights: {
    title: 'Bin walls and ladders',
    text:
      'A fall into must is a drowning. Work from a platform with rails, never from a bin’s rim or a plank without one; dry ' +
      'boots, move the step instead of leaning, and nobody alone over a ferment. Your local code and trained people come ' +
      'first.',
  },
  presses: {
    title: 'Presses and augers',
    text:
      'Before a hand goes in, for a jam or to clean: switch off, lock, tag, let out air and pressure, and try to start it. ' +
      'Guards stay on; no loose sleeves, hair or strings; fruit is never pushed by hand. Your local code and trained ' +
      'people come first.',
  },
  hoses: {
    title: 'Hoses under pressure',
    text:
      'A pump against a closed valve bursts what is weakest: open the way before it starts; stop it and let the pressure ' +
      'out before a coupling is undone; stand beside a coupling, not in front of it. The maker’s instructions, the local ' +
      'code and trained people come first.',
  },
  lifting: {
    title: 'Lifting and forklifts',
    text:
      'A full barrel weighs some 250 kg, a bin of fruit 500 kg and more: cradle, hoist or several people. Only who is trained ' +
      'and allowed to drives a forklift; nobody rides along, or stands below or beside a raised load. Your local code ' +
      'and trained people come first.',
  },
  'sulfur dioxide': {
    title: 'Sulfur dioxide',
    text:
      'It burns eyes and lungs, and people with asthma should keep well away. Weigh and dissolve in moving air with ' +
      'goggles, gloves and a fitted mask, never together with acid. The product’s safety data sheet, the local code and ' +
      'trained people come first, and the law of the place sets how much a wine may hold.',
  },
  'cleaning and acids': {
    title: 'Cleaners and acids',
    text:
      'Caustics and acids burn eyes and skin at once: face shield, long gloves, apron, water at hand. The stuff goes into ' +
      'the water, never water onto it; never two cleaners together, and no acid near sulfite or chlorine. The product’s ' +
      'safety data sheet, the local code and trained people come first.',
  },
  'label claims': {
    title: 'Claims on a label',
    text:
      'These shares say what the record holds, not what a label may claim. Variety, place and vintage are tested together ' +
      'and by rules that change: the authority’s current text decides, and whoever is licensed answers for it.',
  },
};
