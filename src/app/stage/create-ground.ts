// A hint of the ground below the parts: a fine grid that fades out, such as 10 mm and 50 mm between its lines, and the parts' soft shadow.
import { type Box3, Color, DoubleSide, Mesh, PlaneGeometry, ShaderMaterial, type Texture, Vector3 } from 'three';
import type { StageTheme } from './theme.ts';

export interface StageGround {
  readonly object: Mesh;
  /** Lays it below the parts. */
  place(parts: Box3): void;
  /** Dark over a square of `half` mm to each side of `middle`. */
  shade(texture: Texture, middle: Vector3, half: number): void;
  recolour(theme: StageTheme): void;
  dispose(): void;
}

export function createGround(): StageGround {
  const material = new ShaderMaterial({
    side: DoubleSide,
    transparent: true,
    depthWrite: false,
    uniforms: {
      colour: { value: new Color() },
      step: { value: 10 },
      strength: { value: 1 },
      shadow: { value: null },
      shadowColour: { value: new Color() },
      shadowStrength: { value: 0 },
      shadowMiddle: { value: new Vector3() },
      shadowHalf: { value: 1 },
    },
    vertexShader: `
      varying vec2 place;
      varying vec2 local;
      void main() {
        local = position.xy;
        vec4 world = modelMatrix * vec4(position, 1.0);
        place = world.xy;
        gl_Position = projectionMatrix * viewMatrix * world;
      }`,
    fragmentShader: `
      uniform vec3 colour;
      uniform float step;
      uniform float strength;
      uniform sampler2D shadow;
      uniform vec3 shadowColour;
      uniform float shadowStrength;
      uniform vec3 shadowMiddle;
      uniform float shadowHalf;
      varying vec2 place;
      varying vec2 local;
      float lines(float every) {
        vec2 share = place / every;
        vec2 width = fwidth(share);
        vec2 off = abs(fract(share - 0.5) - 0.5) / max(width, 1e-6);
        float fine = 1.0 - smoothstep(0.25, 0.7, max(width.x, width.y));
        return (1.0 - min(min(off.x, off.y), 1.0)) * fine;
      }
      void main() {
        float fade = 1.0 - smoothstep(0.35, 1.0, length(local));
        float ink = strength * fade * max(0.4 * lines(step), 0.85 * lines(5.0 * step));
        vec2 under = 0.5 + 0.5 * (place - shadowMiddle.xy) / shadowHalf;
        float dark = shadowStrength * texture2D(shadow, clamp(under, 0.0, 1.0)).r * (1.0 - ink);
        gl_FragColor = vec4((ink * colour + dark * shadowColour) / max(ink + dark, 1e-4), ink + dark);
        #include <colorspace_fragment>
      }`,
  });
  const object = new Mesh(new PlaneGeometry(2, 2), material);
  object.renderOrder = -1;
  object.visible = false;
  return {
    object,
    place(parts) {
      object.visible = !parts.isEmpty();
      if (parts.isEmpty()) return;
      const size = parts.getSize(new Vector3());
      const radius = 1.5 * Math.max(size.x, size.y, 1);
      const middle = parts.getCenter(new Vector3());
      object.position.set(middle.x, middle.y, parts.min.z - 0.02 * size.z - 0.01);
      object.scale.setScalar(radius);
      material.uniforms.step.value = 10 ** Math.round(Math.log10(radius / 15));
    },
    shade(texture, middle, half) {
      material.uniforms.shadow.value = texture;
      material.uniforms.shadowMiddle.value.copy(middle);
      material.uniforms.shadowHalf.value = half;
    },
    recolour(theme) {
      material.uniforms.shadowColour.value.set(theme.dark ? '#000000' : theme.ink);
      material.uniforms.shadowStrength.value = theme.dark ? 0.55 : 0.3;
      material.uniforms.colour.value.copy(theme.faint);
      material.uniforms.strength.value = theme.dark ? 0.38 : 0.45;
    },
    dispose() {
      object.geometry.dispose();
      material.dispose();
    },
  };
}
