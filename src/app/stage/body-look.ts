// How a body looks by its role: absorbing graphite, transmissive clear like glass, tooling as ochre outlines, others as a hint.
import { DoubleSide, MeshLambertMaterial, type Color } from 'three';
import type { StageTheme } from './theme.ts';

export type BodyRole = 'absorbing' | 'transmissive' | 'clear-clamp' | 'tooling' | 'none';

export interface BodyLook {
  readonly fill: Color;
  /** Opacity seen straight on and at the silhouette; 1, 1 is solid. */
  readonly face: number;
  readonly rim: number;
  readonly line: Color;
  readonly lineOpacity: number;
  readonly lineWidth: number;
  /** Direction of the hatch of a cut: 1 or -1. */
  readonly hatch: number;
}

export function lookOf(role: BodyRole, theme: StageTheme): BodyLook {
  const { dark } = theme;
  switch (role) {
    case 'absorbing':
      return {
        fill: theme.graphite,
        face: 1,
        rim: 1,
        line: dark ? theme.paper : theme.ink,
        lineOpacity: dark ? 0.9 : 0.75,
        lineWidth: 1.1,
        hatch: 1,
      };
    case 'transmissive':
    case 'clear-clamp':
      return {
        fill: theme.glass,
        face: dark ? 0.12 : 0.12,
        rim: dark ? 0.5 : 0.5,
        line: theme.glass,
        lineOpacity: dark ? 0.7 : 0.95,
        lineWidth: role === 'transmissive' && !dark ? 1.3 : 1,
        hatch: -1,
      };
    case 'tooling':
      return {
        fill: theme.ochre,
        face: 0.035,
        rim: 0.12,
        line: theme.ochre,
        lineOpacity: dark ? 0.45 : 0.62,
        lineWidth: 1,
        hatch: 1,
      };
    case 'none':
      return { fill: theme.quiet, face: 0.1, rim: 0.35, line: theme.quiet, lineOpacity: 0.7, lineWidth: 1, hatch: -1 };
  }
}

/** Lambert shading; a clear body is denser towards its silhouette, as glass is. */
export function bodyMaterial(look: BodyLook): MeshLambertMaterial {
  const solid = look.face === 1;
  const material = new MeshLambertMaterial({
    side: DoubleSide,
    transparent: !solid,
    depthWrite: solid,
    // Lines and ribbon on a face stand before it; of two faces that touch the solid one does.
    polygonOffset: true,
    polygonOffsetFactor: solid ? 1 : 3,
    polygonOffsetUnits: solid ? 1 : 64,
  });
  // Both sides of a clear body in one go: it has no order of its own to keep.
  material.forceSinglePass = true;
  material.color.copy(look.fill);
  if (solid) return material;
  material.onBeforeCompile = (shader) => {
    shader.uniforms.face = { value: look.face };
    shader.uniforms.rim = { value: look.rim };
    shader.fragmentShader = shader.fragmentShader
      .replace('uniform float opacity;', 'uniform float opacity;\nuniform float face;\nuniform float rim;')
      .replace(
        '#include <opaque_fragment>',
        `vec3 towards = isOrthographic ? vec3(0.0, 0.0, 1.0) : normalize(vViewPosition);
        float lean = 1.0 - abs(dot(towards, normalize(vNormal)));
        diffuseColor.a = mix(face, rim, lean * lean * lean);
        #include <opaque_fragment>`,
      );
  };
  material.customProgramCacheKey = () => 'clear-body';
  return material;
}
