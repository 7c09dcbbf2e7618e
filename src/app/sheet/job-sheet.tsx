// The job as a sheet that is filled in, in the order in which the data goes: parts first, limits last.
import { type SyntheticEvent, useState } from 'react';
import { Questions } from './questions.tsx';
import { ArmSection } from './sections/arm-section.tsx';
import { HeadSection, LayerSection, OpticsSection } from './sections/beam-sections.tsx';
import { LimitsSection } from './sections/limits-section.tsx';
import { PartsSection } from './sections/parts-section.tsx';
import { ProcessSection } from './sections/process-section.tsx';
import { SeamSection } from './sections/seam-section.tsx';
import { SheetNote } from './sheet-note.tsx';
import './fields.css';
import './sheet.css';

export function JobSheet() {
  const [noted, setNoted] = useState<string | null>(null);
  const note = (event: SyntheticEvent): void => {
    const at = (event.target as Element).closest<HTMLElement>('[data-pointer]');
    if (at?.dataset.pointer !== undefined) setNoted(at.dataset.pointer);
  };
  return (
    <section className="sheet" aria-label="Job sheet" onFocus={note} onPointerOver={note}>
      <Questions />
      <div className="sheet-scroll">
        <PartsSection />
        <SeamSection />
        <LayerSection />
        <HeadSection />
        <OpticsSection />
        <ArmSection />
        <ProcessSection />
        <LimitsSection />
      </div>
      <SheetNote pointer={noted} />
    </section>
  );
}
