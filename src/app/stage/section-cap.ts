// The cut face of one body: its back faces count up and its front faces count down in the stencil; where something is left a plane is
// drawn, hatched as in a drawing.
import {
  AlwaysStencilFunc,
  BackSide,
  type BufferGeometry,
  Color,
  DecrementWrapStencilOp,
  DoubleSide,
  FrontSide,
  Group,
  IncrementWrapStencilOp,
  Mesh,
  MeshBasicMaterial,
  NotEqualStencilFunc,
  type Plane,
  PlaneGeometry,
  ReplaceStencilOp,
  ShaderMaterial,
  Vector3,
  ZeroStencilOp,
} from 'three';
import type { BodyLook } from './body-look.ts';
import type { StageTheme } from './theme.ts';

export interface SectionCap {
  readonly object: Group;
  update(plane: Plane, look: BodyLook, theme: StageTheme): void;
  dispose(): void;
}

/** Pixels between two lines of the hatch. */
const HATCH = 7;

export function createSectionCap(geometry: BufferGeometry, order: number): SectionCap {
  const object = new Group();
  const counters = ([BackSide, FrontSide] as const).map((side) => {
    const step = side === BackSide ? IncrementWrapStencilOp : DecrementWrapStencilOp;
    const material = new MeshBasicMaterial({
      side,
      colorWrite: false,
      depthWrite: false,
      depthTest: false,
      stencilWrite: true,
      stencilFunc: AlwaysStencilFunc,
      stencilFail: step,
      stencilZFail: step,
      stencilZPass: step,
    });
    const mesh = new Mesh(geometry, material);
    mesh.renderOrder = 10 + order;
    object.add(mesh);
    return material;
  });
  const material = new ShaderMaterial({
    side: DoubleSide,
    stencilWrite: true,
    stencilRef: 0,
    stencilFunc: NotEqualStencilFunc,
    stencilFail: ReplaceStencilOp,
    stencilZFail: ReplaceStencilOp,
    stencilZPass: ZeroStencilOp,
    uniforms: {
      fill: { value: new Color() },
      line: { value: new Color() },
      direction: { value: 1 },
      spacing: { value: HATCH },
    },
    vertexShader: `void main() { gl_Position = projectionMatrix * modelViewMatrix * vec4(position, 1.0); }`,
    fragmentShader: `
      uniform vec3 fill;
      uniform vec3 line;
      uniform float direction;
      uniform float spacing;
      void main() {
        float across = (gl_FragCoord.x + direction * gl_FragCoord.y) / 1.41421356;
        float off = abs(mod(across, spacing) - 0.5 * spacing);
        float ink = 1.0 - smoothstep(0.35, 1.05, off);
        gl_FragColor = vec4(mix(fill, line, ink), 1.0);
        #include <colorspace_fragment>
      }`,
  });
  const face = new Mesh(new PlaneGeometry(1, 1), material);
  face.renderOrder = 10.5 + order;
  face.onBeforeRender = (renderer) => {
    material.uniforms.spacing.value = HATCH * renderer.getPixelRatio();
  };
  face.onAfterRender = (renderer) => renderer.clearStencil();
  object.add(face);

  return {
    object,
    update(plane, look, theme) {
      for (const counter of counters) {
        counter.clippingPlanes = [plane];
        counter.needsUpdate = true;
      }
      const { center, radius } = geometry.boundingSphere ?? { center: new Vector3(), radius: 1 };
      plane.projectPoint(center, face.position);
      face.scale.setScalar(2.2 * radius);
      face.lookAt(face.position.clone().sub(plane.normal));
      material.uniforms.fill.value.copy(theme.sheet);
      material.uniforms.line.value.copy(look.line.equals(theme.paper) ? theme.quiet : look.line);
      material.uniforms.direction.value = look.hatch;
    },
    dispose() {
      for (const counter of counters) counter.dispose();
      material.dispose();
      face.geometry.dispose();
      object.removeFromParent();
    },
  };
}
