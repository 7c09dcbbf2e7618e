// The width that melts, as a map above the border where melting begins: smooth inside, cut sharp along the border.
import { useEffect, useRef } from 'react';
import type { ProcessWindow } from '../../model/process-window.ts';
import { shownColour } from '../../output/colour-map.ts';
import { meltingShape, type WindowScale } from './window-scale.ts';

interface WidthMapProps {
  readonly window: ProcessWindow;
  readonly scale: WindowScale;
}

export function WidthMap({ window: processWindow, scale }: WidthMapProps) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const { width, height } = scale;
  useEffect(() => {
    const context = canvas.current?.getContext('2d');
    const cells = drawCells(processWindow);
    if (context == null || cells === null) return;
    const { devicePixelRatio: fine } = window;
    const shape = meltingShape(processWindow, scale);
    context.canvas.width = Math.round(width * fine);
    context.canvas.height = Math.round(height * fine);
    context.setTransform(fine, 0, 0, fine, 0, 0);
    context.clip(new Path2D(shape));
    // The values stand in the middle of the cells, the first and the last on the borders of the plot.
    const across = width / (cells.width - 1);
    const down = height / (cells.height - 1);
    context.imageSmoothingQuality = 'high';
    context.drawImage(cells, -across / 2, -down / 2, cells.width * across, cells.height * down);
  }, [processWindow, scale, width, height]);
  return <canvas ref={canvas} className="width-map" style={{ width, height }} />;
}

/** One pixel a value, the highest energy on top; where nothing melts the colour that melting begins with. */
function drawCells({ speeds, energies, widths }: ProcessWindow): HTMLCanvasElement | null {
  const cells = document.createElement('canvas');
  const [columns, rows] = [speeds.length, energies.length];
  cells.width = columns;
  cells.height = rows;
  const context = cells.getContext('2d');
  if (context === null) return null;
  const image = context.createImageData(columns, rows);
  const widest = widths.reduce((most, value) => Math.max(most, value), 0);
  for (let k = 0; k < columns; k++) {
    for (let j = 0; j < rows; j++) {
      const value = widths[k * rows + j];
      const share = value > 0 ? value / widest : 0;
      image.data.set([...shownColour(share), 255], 4 * ((rows - 1 - j) * columns + k));
    }
  }
  context.putImageData(image, 0, 0);
  return cells;
}
