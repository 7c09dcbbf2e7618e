// The arm in the posture of one row: the room of its links and of the head as capsules, clear enough to see the part behind them.
import { CapsuleGeometry, Color, Group, Matrix4, Mesh, MeshLambertMaterial, Quaternion, Vector3 } from 'three';
import type { ArmView } from '../../output/view/plan-view.ts';
import type { StageTheme } from './theme.ts';

export interface StageArm {
  readonly object: Group;
  /** Other capsules: only where the arm is another one. */
  setArm(arm: ArmView | null): void;
  /** Shows the links, the head or both; false where the arm has no posture in that row. */
  pose(row: number, links: boolean, head: boolean): boolean;
  recolour(theme: StageTheme): void;
  dispose(): void;
}

const Y = new Vector3(0, 1, 0);

export function createArm(): StageArm {
  const object = new Group();
  // Depth first, colour after: each pixel is tinted once, however many capsules lie behind it.
  const depth = new MeshLambertMaterial({ colorWrite: false, transparent: true });
  const links = clear(0.4);
  const head = clear(0.5);
  let arm: ArmView | null = null;
  let groups: Group[] = [];
  let meshes: (readonly ['arm' | 'head', Mesh])[] = [];

  function clear(opacity: number): MeshLambertMaterial {
    return new MeshLambertMaterial({ transparent: true, opacity, depthWrite: false });
  }

  function empty(): void {
    object.traverse((child) => {
      if (child instanceof Mesh) child.geometry.dispose();
    });
    object.clear();
    groups = [];
    meshes = [];
  }

  return {
    object,
    setArm(next) {
      if (next !== null && arm !== null && next.id === arm.id && sameCapsules(next, arm)) {
        arm = next;
        return;
      }
      empty();
      arm = next;
      if (next === null) return;
      groups = Array.from({ length: next.links }, () => {
        const group = new Group();
        group.matrixAutoUpdate = false;
        object.add(group);
        return group;
      });
      for (const capsule of next.capsules) {
        const from = new Vector3(...(capsule.from as [number, number, number]));
        const to = new Vector3(...(capsule.to as [number, number, number]));
        const way = to.clone().sub(from);
        const geometry = new CapsuleGeometry(capsule.radius, way.length(), 8, 28);
        if (way.lengthSq() > 0) geometry.applyQuaternion(new Quaternion().setFromUnitVectors(Y, way.normalize()));
        const middle = from.add(to).multiplyScalar(0.5);
        geometry.translate(middle.x, middle.y, middle.z);
        const first = new Mesh(geometry, depth);
        first.renderOrder = 11;
        const second = new Mesh(geometry, capsule.owner === 'head' ? head : links);
        second.renderOrder = 12;
        groups[Math.min(capsule.link, groups.length - 1)].add(first, second);
        meshes.push([capsule.owner, first], [capsule.owner, second]);
      }
    },
    pose(row, showLinks, showHead) {
      if (arm === null) return false;
      const frames = arm.frame;
      const { links: count } = arm;
      const known = (showLinks || showHead) && Number.isFinite(frames[16 * (row * count + count - 1)]);
      object.visible = known;
      if (!known) return false;
      for (const [owner, mesh] of meshes) mesh.visible = owner === 'head' ? showHead : showLinks;
      const matrix = new Matrix4();
      groups.forEach((group, link) => {
        group.matrix.copy(matrix.fromArray(frames, 16 * (row * count + link)));
        group.matrixWorldNeedsUpdate = true;
      });
      return true;
    },
    recolour(theme) {
      links.color.copy(theme.dark ? theme.quiet : new Color('#aab0b5'));
      head.color.copy(theme.dark ? theme.ink : theme.quiet);
    },
    dispose() {
      empty();
      for (const material of [depth, links, head]) material.dispose();
    },
  };
}

function sameCapsules(a: ArmView, b: ArmView): boolean {
  return a.links === b.links && JSON.stringify(a.capsules) === JSON.stringify(b.capsules);
}
