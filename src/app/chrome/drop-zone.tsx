// Files dropped anywhere on the page: while they hover it says what will happen.
import { useEffect, useState } from 'react';
import { pageStore, usePage } from '../store/page-store.ts';

const carriesFiles = (event: DragEvent): boolean => event.dataTransfer?.types.includes('Files') === true;

export function DropZone() {
  const [over, setOver] = useState(false);
  const fresh = usePage(
    ({ job, untouchedSample }) => untouchedSample || !Array.isArray(job.parts) || job.parts.length === 0,
  );
  useEffect(() => {
    let depth = 0;
    const enter = (event: DragEvent): void => {
      if (!carriesFiles(event)) return;
      depth += 1;
      setOver(true);
    };
    const leave = (event: DragEvent): void => {
      if (!carriesFiles(event)) return;
      depth = Math.max(0, depth - 1);
      if (depth === 0) setOver(false);
    };
    const hover = (event: DragEvent): void => {
      if (carriesFiles(event)) event.preventDefault();
    };
    const drop = (event: DragEvent): void => {
      depth = 0;
      setOver(false);
      if (!carriesFiles(event)) return;
      event.preventDefault();
      const files = [...(event.dataTransfer?.files ?? [])];
      if (files.length > 0) void pageStore.getState().openFiles(files);
    };
    window.addEventListener('dragenter', enter);
    window.addEventListener('dragleave', leave);
    window.addEventListener('dragover', hover);
    window.addEventListener('drop', drop);
    return () => {
      window.removeEventListener('dragenter', enter);
      window.removeEventListener('dragleave', leave);
      window.removeEventListener('dragover', hover);
      window.removeEventListener('drop', drop);
    };
  }, []);
  if (!over) return null;
  return (
    <div className="drop-zone">
      <div>
        <p className="drop-title">Drop to {fresh ? 'begin a job' : 'add to this job'}</p>
        <dl>
          <dt>STEP, IGES, BREP, STL</dt>
          <dd>
            {fresh ? 'become the parts of a new job' : 'become parts of this job; a file of the same name is replaced'}
          </dd>
          <dt>A job file with its parts, or a saved job</dt>
          <dd>takes the place of this one; undo brings it back</dd>
        </dl>
        <p className="quiet">Files stay on this machine.</p>
      </div>
    </div>
  );
}
