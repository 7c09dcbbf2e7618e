// The page: mounts the workspace.
import { StrictMode } from 'react';
import { createRoot } from 'react-dom/client';
import { Workspace } from './workspace.tsx';

const root = document.getElementById('root');
if (root === null) throw new Error('the page has no root');
createRoot(root).render(
  <StrictMode>
    <Workspace />
  </StrictMode>,
);
