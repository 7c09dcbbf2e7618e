// The stage while the parts wait for what only the person knows.
import { usePage } from '../store/page-store.ts';

export function WaitingStage() {
  const waiting = usePage(({ scene, run, questions }) => scene === null && run !== 'running' && questions.length > 0);
  const about = usePage(({ questions }) => [...new Set(questions.map((question) => question.about))].join(', '));
  const unit = usePage(({ questions }) => questions.every(({ kind }) => kind === 'unit'));
  if (!waiting) return null;
  return (
    <div className="empty-stage">
      <p className="empty-title">{unit ? 'In which unit?' : 'One answer is missing'}</p>
      <p>
        The parts come when it is known {unit ? 'in which unit to read ' : 'what to make of '}
        <strong>{about}</strong>. The job sheet asks for it.
      </p>
    </div>
  );
}
