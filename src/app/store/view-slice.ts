// Where the person looks: seam, row, tool, camera, theme.
import type { PageState, ViewSlice } from './state.ts';

export function createViewSlice(set: (patch: Partial<PageState>) => void): ViewSlice {
  return {
    seam: 0,
    row: 0,
    playing: false,
    colourBy: 'head_speed_mm_s',
    hoverEdge: null,
    tool: 'look',
    projection: 'perspective',
    section: null,
    show: { arm: true, beam: true, tooling: true, edges: true },
    theme: 'system',
    viewRequest: { view: 'fit', number: 0 },
    paletteOpen: false,
    side: 'job',
    finding: null,
    extraTracks: ['peak_C', 'weld_width_mm'],
    set(patch) {
      set(patch);
    },
  };
}
