// The page: mounts the workspace, then opens a job.
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { startPage } from './start-page.ts';
import { pageStore } from './store/page-store.ts';
import { Workspace } from './workspace.tsx';

const root = document.getElementById('root');
if (root === null) throw new Error('the page has no root');
createRoot(root).render(
  <StrictMode>
    <Workspace />
  </StrictMode>,
);
void startPage(pageStore);
