// The stage with nothing open: what can be done here.
import { usePage } from '../store/page-store.ts';
import { chooseFiles } from './choose-files.ts';
import { WaitingStage } from './waiting-stage.tsx';

export function EmptyStage() {
  const empty = usePage(({ job }) => !Array.isArray(job.parts) || job.parts.length === 0);
  if (!empty) return <WaitingStage />;
  return (
    <div className="empty-stage">
      <p className="empty-title">Drop the parts here</p>
      <p>
        STEP keeps names and true faces and is best; IGES, BREP and STL are read too. Or a job file with its parts, or a
        job saved from here.
      </p>
      <button type="button" className="button main" onClick={chooseFiles}>
        Open files
      </button>
      <p className="quiet">Nothing leaves this machine.</p>
    </div>
  );
}
