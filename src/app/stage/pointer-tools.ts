// What pointer and keys do on the stage, tool by tool. A press that does not move is a click; a drag turns the view and picks nothing.
import { Vector3 } from 'three';
import type { PlanView, SceneView } from '../../output/view/plan-view.ts';
import { quantityText } from '../chrome/unit-text.ts';
import type { ViewSlice } from '../store/state.ts';
import type { EdgeHit, FaceHit } from './create-picker.ts';
import type { Stage } from './create-stage.ts';
import { followChain } from './follow-chain.ts';
import { createPointerTag } from './pointer-tag.ts';
import { hitSeam, type SeamHit } from './hit-seam.ts';
import { movedScreen } from './screen-space.ts';

export interface ToolState {
  readonly tool: ViewSlice['tool'];
  readonly scene: SceneView | null;
  readonly plan: PlanView | null;
  readonly seam: number;
}

export interface ToolActions {
  state(): ToolState;
  hoverEdge(id: string | null): void;
  pickEdge(hit: EdgeHit): void;
  pickBand(hit: FaceHit): void;
  /** The cursor goes to a row. */
  goTo(seam: number, row: number): void;
  measure(hit: FaceHit): void;
}

/** A press that moves further is a drag, pixels. */
const STILL = 4;

/** One press of an arrow key turns by this much, rad. */
const KEY_TURN = Math.PI / 24;

export interface Tools {
  /** Looks again at what lies under the pointer: something changed there. */
  refresh(): void;
  dispose(): void;
}

export function attachTools(stage: Stage, host: HTMLElement, actions: ToolActions): Tools {
  const { canvas, picker, rig } = stage;
  const tag = createPointerTag(host);
  let pointer: { x: number; y: number; alt: boolean } | null = null;
  let pressed: { x: number; y: number } | null = null;
  let waiting = 0;

  const absorbingFirst = (): ((body: Stage['bodies'][number]) => boolean) => {
    const some = stage.bodies.some((body) => body.role === 'absorbing');
    return (body) => !some || body.role === 'absorbing';
  };

  function seamUnder(x: number, y: number): SeamHit | null {
    const { plan, seam } = actions.state();
    const { position: origin } = stage.seams.object;
    const screen = movedScreen(rig.screen(), [origin.x, origin.y, origin.z]);
    const hits = hitSeam(screen, plan?.seams ?? [], stage.seams.quantities, x, y, seam);
    return hits.find(({ point }) => !picker.isHidden(new Vector3(...point).add(origin), 0.6)) ?? null;
  }

  /** Changes nothing in the picture unless something else is to be stressed: moving the pointer draws no frame. */
  function hover(): void {
    waiting = 0;
    if (pointer === null || pressed !== null) {
      tag.hide();
      return;
    }
    const { x, y, alt } = pointer;
    const { tool } = actions.state();
    canvas.style.cursor = tool === 'look' ? 'grab' : 'crosshair';
    const face = tool === 'pick-edge' && alt ? picker.face(x, y, absorbingFirst()) : null;
    stressFace(face);
    if (face !== null) {
      actions.hoverEdge(null);
      tag.show(x, y, [`${face.body.view.name}, face ${face.face}`, 'the middle of this band']);
      return;
    }
    if (tool === 'pick-edge') {
      const hit = picker.edge(x, y, absorbingFirst());
      actions.hoverEdge(hit === null ? null : hit.body.view.edges[hit.edge].id);
      if (hit === null) tag.hide();
      else {
        canvas.style.cursor = 'pointer';
        tag.show(x, y, edgeLines(hit));
      }
      return;
    }
    if (tool === 'measure') {
      const hit = picker.face(x, y);
      if (hit === null) tag.hide();
      else tag.show(x, y, pointLines(hit));
      return;
    }
    const hit = seamUnder(x, y);
    if (hit === null) tag.hide();
    else {
      canvas.style.cursor = 'pointer';
      tag.show(x, y, seamLines(hit));
      if (tool === 'probe') actions.goTo(hit.seam, hit.row);
    }
  }

  function stressFace(hit: FaceHit | null): void {
    if (stage.face.update(hit === null ? null : { body: hit.body.view, face: hit.face })) stage.redraw();
  }

  function edgeLines({ body, edge }: EdgeHit): string[] {
    const { edges } = body.view;
    const chain = followChain(edges, edge);
    const total = chain.reduce((sum, k) => sum + edges[k].length, 0);
    const { id, length } = edges[edge];
    const more = chain.length > 1 ? [`${total.toFixed(1)} mm with its smooth neighbours`] : [];
    return [id, `${length.toFixed(1)} mm${edges[edge].closed ? ', closed' : ''}`, ...more];
  }

  function pointLines({ body, point }: FaceHit): string[] {
    const centre = actions.state().scene?.centre ?? [0, 0, 0];
    const at = point.toArray().map((value, c) => (value + centre[c]).toFixed(2));
    return [body.view.name, at.join('  ')];
  }

  function seamLines({ seam, row, value }: SeamHit): string[] {
    const quantity = stage.seams.quantities[seam];
    const s = actions.state().plan?.seams[seam]?.s[row] ?? Number.NaN;
    const place = `at ${s.toFixed(1)} mm`;
    if (quantity === null || quantity === undefined) return [place];
    return [quantityText(value, quantity.decimals, quantity.unit), `${quantity.title}, ${place}`];
  }

  function click(x: number, y: number, alt: boolean): void {
    const { tool } = actions.state();
    if (tool === 'pick-edge') {
      if (alt) {
        const face = picker.face(x, y, absorbingFirst());
        if (face !== null) actions.pickBand(face);
        return;
      }
      const hit = picker.edge(x, y, absorbingFirst());
      if (hit !== null) actions.pickEdge(hit);
    } else if (tool === 'measure') {
      const hit = picker.face(x, y);
      if (hit !== null) actions.measure(hit);
    } else {
      const hit = seamUnder(x, y);
      if (hit !== null) actions.goTo(hit.seam, hit.row);
    }
  }

  const place = (event: PointerEvent) => {
    const { left, top } = canvas.getBoundingClientRect();
    return { x: event.clientX - left, y: event.clientY - top };
  };
  const ask = () => {
    if (waiting === 0) waiting = requestAnimationFrame(hover);
  };
  const listeners: {
    readonly [K in 'pointermove' | 'pointerdown' | 'pointerup' | 'pointercancel' | 'pointerleave']: (
      e: PointerEvent,
    ) => void;
  } = {
    pointermove(event) {
      pointer = { ...place(event), alt: event.altKey };
      ask();
    },
    pointerdown(event) {
      if (event.button === 0) pressed = place(event);
      ask();
    },
    pointerup(event) {
      const at = place(event);
      const still = pressed !== null && Math.hypot(at.x - pressed.x, at.y - pressed.y) < STILL;
      pressed = null;
      if (still && event.button === 0) click(at.x, at.y, event.altKey);
      ask();
    },
    pointercancel() {
      pressed = null;
    },
    pointerleave() {
      pointer = null;
      tag.hide();
      stressFace(null);
      if (actions.state().tool === 'pick-edge') actions.hoverEdge(null);
    },
  };
  /** Alt changes what a click takes: the preview must not wait for the pointer to move. */
  const onAlt = (event: KeyboardEvent) => {
    if (event.key !== 'Alt' || pointer === null || actions.state().tool !== 'pick-edge') return;
    event.preventDefault();
    pointer = { ...pointer, alt: event.type === 'keydown' };
    ask();
  };
  const onKey = (event: KeyboardEvent) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const turns: Readonly<Record<string, readonly [number, number, number]>> = {
      ArrowLeft: [-KEY_TURN, 0, 1],
      ArrowRight: [KEY_TURN, 0, 1],
      ArrowUp: [0, -KEY_TURN, 1],
      ArrowDown: [0, KEY_TURN, 1],
      '+': [0, 0, 1.2],
      '=': [0, 0, 1.2],
      '-': [0, 0, 1 / 1.2],
    };
    const turn = turns[event.key];
    if (turn === undefined) return;
    event.preventDefault();
    event.stopPropagation();
    rig.turn(...turn);
  };
  for (const [kind, listener] of Object.entries(listeners)) canvas.addEventListener(kind, listener as EventListener);
  canvas.addEventListener('keydown', onKey);
  window.addEventListener('keydown', onAlt);
  window.addEventListener('keyup', onAlt);
  return {
    refresh: ask,
    dispose() {
      for (const [kind, listener] of Object.entries(listeners))
        canvas.removeEventListener(kind, listener as EventListener);
      canvas.removeEventListener('keydown', onKey);
      window.removeEventListener('keydown', onAlt);
      window.removeEventListener('keyup', onAlt);
      cancelAnimationFrame(waiting);
      tag.dispose();
    },
  };
}
