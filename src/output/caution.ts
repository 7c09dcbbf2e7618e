// The caution that goes with everything that leaves the program. Standards named: IEC 60825-1, ISO 11553-1, ISO 10218-1/-2.

/** One sentence an entry. */
export const CAUTION: readonly string[] = [
  'A plan is a calculation, not a release.',
  'Laser radiation of this class injures eyes and skin, also by reflections; an arm in motion crushes; overheated plastics give off harmful fumes.',
  'Prove the motion at reduced speed with the beam off, inside a guarded enclosure, under the responsible laser safety and machine safety persons and the rules in force locally.',
  'Where to look: IEC 60825-1, ISO 11553-1, ISO 10218-1 and ISO 10218-2.',
];

export const CAUTION_TEXT: string = CAUTION.join(' ');
