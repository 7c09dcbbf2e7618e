// The width that melts, as a map under the borders; nothing where nothing melts.
import { useEffect, useRef } from 'react';
import type { ProcessWindow } from '../../model/process-window.ts';
import { shownColour } from '../../output/colour-map.ts';
import type { WindowScale } from './window-scale.ts';

interface WidthMapProps {
  readonly window: ProcessWindow;
  readonly scale: WindowScale;
}

export function WidthMap({ window, scale: { width, height } }: WidthMapProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  useEffect(() => {
    const { speeds, energies, widths } = window;
    const [columns, rows] = [speeds.length, energies.length];
    const context = canvas.current?.getContext('2d');
    if (context == null) return;
    const image = context.createImageData(columns, rows);
    const widest = widths.reduce((most, value) => Math.max(most, value), 0);
    for (let k = 0; k < columns; k++) {
      for (let j = 0; j < rows; j++) {
        const value = widths[k * rows + j];
        if (!(value > 0)) continue;
        image.data.set([...shownColour(value / widest), 255], 4 * ((rows - 1 - j) * columns + k));
      }
    }
    context.putImageData(image, 0, 0);
  }, [window]);
  return (
    <canvas
      ref={canvas}
      className="width-map"
      width={window.speeds.length}
      height={window.energies.length}
      style={{ width, height }}
    />
  );
}
