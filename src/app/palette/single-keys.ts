// Whether single keys run commands: some people speak to their machine or hit keys by chance (WCAG 2.2, 2.1.4).

const KEY = 'raythread.single-keys';
let on: boolean | null = null;

export function singleKeysOn(): boolean {
  if (on === null) {
    try {
      on = localStorage.getItem(KEY) !== 'off';
    } catch {
      on = true;
    }
  }
  return on;
}

export function setSingleKeys(next: boolean): void {
  on = next;
  try {
    localStorage.setItem(KEY, next ? 'on' : 'off');
  } catch {
    // Holds for this visit only.
  }
}
