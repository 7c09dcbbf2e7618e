// One body on the stage: its faces in one draw call, its edges in one or two, and what rays need.
import { type BufferGeometry, Group, Mesh, type Plane } from 'three';
import type { MeshBVH } from 'three-mesh-bvh';
import type { BodyView } from '../../output/view/plan-view.ts';
import { type BodyRole, bodyMaterial, lookOf } from './body-look.ts';
import { createFatLines } from './fat-lines.ts';
import { geometryOf, hierarchyOf, type SerializedHierarchy } from './prepare-mesh.ts';
import { createSectionCap, type SectionCap } from './section-cap.ts';
import { sectionOutline } from './section-outline.ts';
import type { SplitMesh } from './split-faces.ts';
import type { StageTheme } from './theme.ts';

/** Faces that meet at less go over into each other: their edge is drawn faintly, deg. */
const SMOOTH = 5;

export interface StageBody {
  readonly view: BodyView;
  readonly object: Group;
  readonly role: BodyRole;
  /** Null until they were prepared. */
  readonly geometry: BufferGeometry | null;
  readonly hierarchy: MeshBVH | null;
  setMesh(mesh: SplitMesh): void;
  setHierarchy(serialized: SerializedHierarchy): void;
  dress(role: BodyRole, theme: StageTheme): void;
  show(body: boolean, edges: boolean): void;
  /** `order` keeps the stencils of several bodies apart. */
  cut(plane: Plane | null, order: number): void;
  dispose(): void;
}

export function createBody(view: BodyView): StageBody {
  const object = new Group();
  const sharp = createFatLines({ linewidth: 1, opacity: 0.99, renderOrder: 3 });
  const smooth = createFatLines({ linewidth: 1, opacity: 0.5, renderOrder: 3 });
  const isSmooth = ({ dihedral }: BodyView['edges'][number]) => dihedral !== null && dihedral[1] < SMOOTH;
  const outline = createFatLines({ linewidth: 1.6, opacity: 0.99, renderOrder: 4 });
  sharp.setChains(view.edges.filter((edge) => !isSmooth(edge)).map((edge) => edge.position));
  smooth.setChains(view.edges.filter(isSmooth).map((edge) => edge.position));
  object.add(sharp.object, smooth.object, outline.object);

  let geometry: BufferGeometry | null = null;
  let mesh: Mesh | null = null;
  let hierarchy: MeshBVH | null = null;
  let role: BodyRole = 'none';
  let theme: StageTheme | null = null;
  let cap: SectionCap | null = null;
  let plane: Plane | null = null;
  let capOrder = 0;

  function clip(): void {
    const planes = plane === null ? null : [plane];
    sharp.clip(planes);
    smooth.clip(planes);
    if (mesh === null || geometry === null || theme === null) return;
    const material = mesh.material as ReturnType<typeof bodyMaterial>;
    material.clippingPlanes = planes;
    material.needsUpdate = true;
    if (plane === null) {
      cap?.dispose();
      cap = null;
      outline.setChains([]);
      return;
    }
    if (cap === null) {
      cap = createSectionCap(geometry, capOrder);
      object.add(cap.object);
    }
    cap.update(plane, lookOf(role, theme), theme);
    outline.setChains(hierarchy === null ? [] : sectionOutline(hierarchy, plane));
  }

  function paint(): void {
    if (theme === null) return;
    const look = lookOf(role, theme);
    for (const [lines, share] of [
      [sharp, 1],
      [smooth, 0.35],
    ] as const) {
      lines.material.color.copy(look.line);
      lines.material.opacity = look.lineOpacity * share;
      lines.material.linewidth = look.lineWidth;
    }
    outline.material.color.copy(role === 'absorbing' ? theme.ink : look.line);
    if (mesh === null) return;
    (mesh.material as ReturnType<typeof bodyMaterial>).dispose();
    mesh.material = bodyMaterial(look);
    mesh.renderOrder = look.face === 1 ? 0 : 2;
    clip();
  }

  return {
    view,
    object,
    get role() {
      return role;
    },
    get geometry() {
      return geometry;
    },
    get hierarchy() {
      return hierarchy;
    },
    setMesh(split) {
      geometry = geometryOf(split);
      mesh = new Mesh(geometry);
      object.add(mesh);
      paint();
    },
    setHierarchy(serialized) {
      if (geometry === null) return;
      hierarchy = hierarchyOf(geometry, serialized);
      if (plane !== null) clip();
    },
    dress(nextRole, nextTheme) {
      role = nextRole;
      theme = nextTheme;
      paint();
    },
    show(body, edges) {
      object.visible = body;
      sharp.object.visible = edges && sharp.object.geometry.attributes.instanceStart !== undefined;
      smooth.object.visible = edges && smooth.object.geometry.attributes.instanceStart !== undefined;
    },
    cut(next, order) {
      plane = next;
      capOrder = order;
      clip();
    },
    dispose() {
      cap?.dispose();
      sharp.dispose();
      smooth.dispose();
      outline.dispose();
      geometry?.dispose();
      if (mesh !== null) (mesh.material as ReturnType<typeof bodyMaterial>).dispose();
      object.removeFromParent();
    },
  };
}
