// Ties the stage to the page's store: what the page knows goes to the stage, what hands do on the stage goes to the store.
import type { StoreApi } from 'zustand/vanilla';
import type { PageState } from '../store/state.ts';
import type { BodyRole } from './body-look.ts';
import type { Pose } from './camera-rig.ts';
import { createStage, type Stage, type StageState } from './create-stage.ts';
import { playbackStart, playedRow } from './playback.ts';
import { attachTools } from './pointer-tools.ts';
import { roleOf, selectSeam, type SeamPick } from './select-seam.ts';
import { stageStore } from './stage-store.ts';

const LOST = 'The graphics were interrupted. The job is safe; the picture comes back by itself.';

const ROLES: readonly string[] = ['absorbing', 'transmissive', 'clear-clamp', 'tooling'] satisfies BodyRole[];

/** Fills `host` and keeps it up to date; gives back how to stop. */
export function connectStage(host: HTMLElement, page: StoreApi<PageState>): () => void {
  let stop = build(null);

  /** A stage with all that belongs to it. What was lost is given back at once; new graphics get a new stage, seen from the same place. */
  function build(pose: Pose | null): () => void {
    const made = createStage(host, {
      plain: new URLSearchParams(location.search).has('light'),
      glide: () => !matchMedia('(prefers-reduced-motion: reduce)').matches,
      pose,
      lost() {
        if (made === null) return;
        const seenFrom = made.rig.pose();
        stop();
        stop = () => made.canvas.remove();
        onReturn = () => {
          stop();
          stop = build(seenFrom);
          stageStore.setState({ lost: false });
          if (page.getState().notice === LOST) page.setState({ notice: null });
        };
        stageStore.setState({ lost: true });
        page.setState({ notice: LOST });
      },
      returned: () => onReturn(),
      goToFinding(finding, seam, row) {
        page.setState({ finding, seam, row, playing: false });
      },
    });
    let onReturn = (): void => {};
    stageStore.setState({ missing: made === null });
    return made === null ? () => {} : attach(made, host, page);
  }

  return () => {
    stop();
    host.replaceChildren();
    stageStore.setState({ measured: [], lost: false });
  };
}

/** Store and hands on one stage, until it is disposed of. */
function attach(stage: Stage, host: HTMLElement, page: StoreApi<PageState>): () => void {
  stage.canvas.tabIndex = 0;
  stage.canvas.setAttribute('role', 'application');
  stage.canvas.setAttribute(
    'aria-label',
    'Parts and seam in space. Arrow keys turn the view, plus and minus come nearer.',
  );

  const push = () => stage.update(stageState(page.getState()));
  const select = (pick: SeamPick) => {
    const state = page.getState();
    selectSeam(state, pick, state.markGuessed);
  };
  const tools = attachTools(stage, host, {
    state: () => page.getState(),
    hoverEdge(hoverEdge) {
      if (page.getState().hoverEdge !== hoverEdge) page.setState({ hoverEdge });
    },
    pickEdge({ body, point }) {
      select({ kind: 'edge', body: body.view, point: [point.x, point.y, point.z] });
    },
    pickBand({ body, point }) {
      select({ kind: 'band', body: body.view, point: [point.x, point.y, point.z] });
    },
    goTo(seam, row) {
      const state = page.getState();
      if (state.seam !== seam || state.row !== row) page.setState({ seam, row, playing: false });
    },
    measure({ point, normal }) {
      const next = { point: point.toArray(), normal: normal.toArray() };
      stageStore.setState(({ measured }) => ({ measured: measured.length === 1 ? [measured[0], next] : [next] }));
    },
  });
  push();
  const unsubscribe = [
    page.subscribe((state, last) => {
      if (state.tool !== last.tool && state.tool !== 'measure') stageStore.setState({ measured: [] });
      if (state.scene !== last.scene) stageStore.setState({ measured: [] });
      push();
      const under = ['tool', 'scene', 'plan', 'colourBy'] as const;
      if (under.some((key) => state[key] !== last[key])) tools.refresh();
    }),
    stageStore.subscribe((state, last) => {
      if (state.measured !== last.measured) push();
    }),
    attachPlayback(stage, page),
  ];
  return () => {
    for (const stop of unsubscribe) stop();
    tools.dispose();
    stage.dispose();
  };
}

function stageState(state: PageState): StageState {
  const { scene, job } = state;
  return {
    ...state,
    roles: job.parts,
    roleOf({ view }) {
      const role = scene === null ? null : roleOf(job, scene, view);
      return role !== null && ROLES.includes(role) ? (role as BodyRole) : 'none';
    },
    measured: stageStore.getState().measured,
  };
}

/** While `playing`, the row follows the clock; the person moving the cursor takes over. */
function attachPlayback(stage: Stage, page: StoreApi<PageState>): () => void {
  let run: { readonly start: number; readonly from: number } | null = null;
  /** The row that playback itself set last. */
  let own = -1;

  function step(): void {
    const { playing, plan, seam, row } = page.getState();
    const view = plan?.seams[seam];
    if (!playing || view === undefined) {
      run = null;
      return;
    }
    if (row !== own) run = null;
    run ??= { start: playbackStart(view, row), from: performance.now() };
    const next = playedRow(view, run.start, (performance.now() - run.from) / 1000);
    if (next === null) {
      page.setState({ row: view.count - 1, playing: false });
      return;
    }
    own = next;
    if (next !== row) page.setState({ row: next });
    stage.redraw(step);
  }

  return page.subscribe((state, last) => {
    if (state.playing !== last.playing || state.seam !== last.seam || state.plan !== last.plan) {
      run = null;
      if (state.playing) stage.redraw(step);
    }
  });
}
