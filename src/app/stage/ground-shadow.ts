// The soft shadow that the parts throw straight down on the ground: their outline seen from below, blurred. Made once for a scene.
import {
  type Box3,
  type BufferGeometry,
  DoubleSide,
  LinearFilter,
  Mesh,
  MeshBasicMaterial,
  type Object3D,
  OrthographicCamera,
  PlaneGeometry,
  Scene,
  ShaderMaterial,
  type Texture,
  Vector2,
  Vector3,
  type WebGLRenderer,
  WebGLRenderTarget,
} from 'three';

export interface GroundShadow {
  /** How dark it is, in the red channel, over a square of `half` mm to each side of `middle`. */
  readonly texture: Texture;
  /** Made from what throws it, all inside `box`. */
  cast(
    renderer: WebGLRenderer,
    parts: readonly BufferGeometry[],
    box: Box3,
  ): { readonly middle: Vector3; readonly half: number };
  dispose(): void;
}

const SIZE = 256;

/** How far the blur reaches, as a share of the square's side. */
const BLUR = 0.016;

export function createGroundShadow(): GroundShadow {
  const options = { depthBuffer: false, minFilter: LinearFilter, magFilter: LinearFilter };
  const targets = [new WebGLRenderTarget(SIZE, SIZE, options), new WebGLRenderTarget(SIZE, SIZE, options)];
  const flat = new MeshBasicMaterial({ color: 0xffffff, side: DoubleSide });
  const camera = new OrthographicCamera(-1, 1, 1, -1, 0, 1);
  const blur = new ShaderMaterial({
    depthTest: false,
    depthWrite: false,
    uniforms: { source: { value: null }, step: { value: new Vector2() } },
    vertexShader: `
      varying vec2 place;
      void main() { place = uv; gl_Position = vec4(position.xy, 0.0, 1.0); }`,
    fragmentShader: `
      uniform sampler2D source;
      uniform vec2 step;
      varying vec2 place;
      void main() {
        float sum = 0.0;
        float weight = 0.0;
        for (int k = -12; k <= 12; k++) {
          float w = exp(-float(k * k) / 60.0);
          sum += w * texture2D(source, place + float(k) / 6.0 * step).r;
          weight += w;
        }
        gl_FragColor = vec4(vec3(sum / weight), 1.0);
      }`,
  });
  const sheet = new Mesh(new PlaneGeometry(2, 2), blur);
  sheet.frustumCulled = false;

  return {
    texture: targets[0].texture,
    cast(renderer, parts, box) {
      const middle = box.getCenter(new Vector3());
      const size = box.getSize(new Vector3());
      const half = 0.75 * Math.max(size.x, size.y, 1);
      camera.left = camera.bottom = -half;
      camera.right = camera.top = half;
      camera.far = size.z + 2;
      camera.position.set(middle.x, middle.y, box.max.z + 1);
      camera.up.set(0, 1, 0);
      camera.lookAt(middle.x, middle.y, box.min.z);
      camera.updateProjectionMatrix();
      const scene = new Scene();
      for (const part of parts) scene.add(new Mesh(part, flat));
      const draw = (target: WebGLRenderTarget, what: Object3D) => {
        renderer.setRenderTarget(target);
        renderer.clear();
        renderer.render(what, camera);
      };
      renderer.setClearColor(0x000000);
      draw(targets[0], scene);
      for (const spread of [1, 2.2]) {
        for (const axis of [0, 1]) {
          blur.uniforms.source.value = targets[axis].texture;
          blur.uniforms.step.value.set(axis === 0 ? spread * BLUR : 0, axis === 0 ? 0 : spread * BLUR);
          draw(targets[1 - axis], sheet);
        }
      }
      renderer.setRenderTarget(null);
      return { middle, half };
    },
    dispose() {
      for (const target of targets) target.dispose();
      flat.dispose();
      blur.dispose();
      sheet.geometry.dispose();
    },
  };
}
