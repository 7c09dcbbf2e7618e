// The WebGL renderer of the stage: colours as they stand in CSS, a stencil for section caps, clipping per material.
import { WebGLRenderer } from 'three';

/** Null where the browser gives no WebGL 2. `plain` leaves antialiasing out. */
export function createRenderer(canvas: HTMLCanvasElement, plain: boolean): WebGLRenderer | null {
  const attributes = { antialias: !plain, stencil: true, alpha: false, powerPreference: 'high-performance' } as const;
  const context = canvas.getContext('webgl2', attributes) as WebGL2RenderingContext | null;
  if (context === null) return null;
  const renderer = new WebGLRenderer({ canvas, context, ...attributes });
  renderer.localClippingEnabled = true;
  renderer.autoClear = true;
  return renderer;
}
