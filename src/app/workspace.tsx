// The arrangement: job sheet, stage with the strip below, findings beside; on a narrow page the columns at the sides share one place.
import { lazy, Suspense } from 'react';
import { Group, Panel, Separator, useDefaultLayout } from 'react-resizable-panels';
import { BusyStage } from './chrome/busy-stage.tsx';
import { DropZone } from './chrome/drop-zone.tsx';
import { EmptyStage } from './chrome/empty-stage.tsx';
import { ExportDialog } from './chrome/export-dialog.tsx';
import { Notices } from './chrome/notices.tsx';
import { PageHeader } from './chrome/page-header.tsx';
import { SideColumn } from './chrome/side-column.tsx';
import { StageBar } from './chrome/stage-bar.tsx';
import { useMedia } from './chrome/use-media.ts';
import { useTheme } from './chrome/use-theme.ts';
import { Palette } from './palette/palette.tsx';
import { useCommandKeys } from './palette/use-command-keys.ts';
import { JobSheet } from './sheet/job-sheet.tsx';
import { Strip } from './strip/strip.tsx';
import './style/tokens.css';
import './style/base.css';
import './style/controls.css';
import './chrome/chrome.css';
import './chrome/dialogs.css';
import './chrome/page-header.css';

/** The stage brings much code along: the page is there before it. */
const Stage = lazy(async () => ({ default: (await import('./stage/stage-view.tsx')).StageView }));

const NARROW = '(max-width: 1199px)';

export function Workspace() {
  useTheme();
  useCommandKeys();
  const narrow = useMedia(NARROW);
  return (
    <>
      <PageHeader />
      <main className="workspace">{narrow ? <NarrowColumns /> : <WideColumns />}</main>
      <Palette />
      <ExportDialog />
      <DropZone />
    </>
  );
}

function WideColumns() {
  const { defaultLayout, onLayoutChanged } = useDefaultLayout({ id: 'raythread.columns' });
  return (
    <Group orientation="horizontal" defaultLayout={defaultLayout} onLayoutChanged={onLayoutChanged}>
      <Panel
        id="sheet"
        defaultSize={316}
        minSize={260}
        maxSize={520}
        collapsible
        groupResizeBehavior="preserve-pixel-size"
      >
        <JobSheet />
      </Panel>
      <Separator className="separator" aria-label="Width of the job sheet" />
      <Panel id="middle" minSize={400}>
        <Middle />
      </Panel>
      <Separator className="separator" aria-label="Width of the findings" />
      <Panel
        id="side"
        defaultSize={332}
        minSize={260}
        maxSize={560}
        collapsible
        groupResizeBehavior="preserve-pixel-size"
      >
        <SideColumn withSheet={false} />
      </Panel>
    </Group>
  );
}

function NarrowColumns() {
  const { defaultLayout, onLayoutChanged } = useDefaultLayout({ id: 'raythread.two-columns' });
  return (
    <Group orientation="horizontal" defaultLayout={defaultLayout} onLayoutChanged={onLayoutChanged}>
      <Panel
        id="side"
        defaultSize={308}
        minSize={260}
        maxSize={440}
        collapsible
        groupResizeBehavior="preserve-pixel-size"
      >
        <SideColumn withSheet />
      </Panel>
      <Separator className="separator" aria-label="Width of the job sheet" />
      <Panel id="middle" minSize={400}>
        <Middle />
      </Panel>
    </Group>
  );
}

function Middle() {
  const { defaultLayout, onLayoutChanged } = useDefaultLayout({ id: 'raythread.middle' });
  return (
    <Group orientation="vertical" defaultLayout={defaultLayout} onLayoutChanged={onLayoutChanged}>
      <Panel id="stage" minSize={180}>
        <div className="stage-panel">
          <StageBar />
          <div className="stage-room">
            <Suspense fallback={null}>
              <Stage />
            </Suspense>
            <EmptyStage />
            <BusyStage />
            <Notices />
          </div>
        </div>
      </Panel>
      <Separator className="separator across" aria-label="Height of the seam strip" />
      <Panel id="strip" defaultSize="42" minSize={120} collapsible>
        <Strip />
      </Panel>
    </Group>
  );
}
