// Schemas without code made from text, which the page's content policy forbids. Imported before any schema is made.
import { z } from 'zod';

z.config({ jitless: true });
