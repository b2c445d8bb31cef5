/** The sheets that a crew is handed: their kinds, titles and pages. */

export type CrewSheetKind = 'round' | 'cap-work' | 'topping' | 'additions' | 'pressing' | 'bottling';

/** In the order they are offered. */
export const CREW_SHEETS: readonly { readonly kind: CrewSheetKind; readonly title: string; readonly say: string }[] = [
  { kind: 'round', title: 'Round', say: 'what is to be read, vessel by vessel as the cellar is walked' },
  { kind: 'cap-work', title: 'Cap work', say: 'a box for every time, and who did it' },
  { kind: 'topping', title: 'Topping', say: 'what is to be topped, the room in it, and what with' },
  { kind: 'additions', title: 'Additions', say: 'what is to be weighed, with room for a second pair of eyes' },
  { kind: 'pressing', title: 'Pressing', say: 'free run and cuts, vessel by vessel' },
  { kind: 'bottling', title: 'Bottling', say: 'what is bottled, and what is counted' },
];

/** `sheets/round.html` */
export const crewSheetPath = (kind: CrewSheetKind): string => `sheets/${kind}.html`;
