import { z } from 'zod';

// Checks of documents may be compiled by eval, which the page's policy forbids; asked whether it may, the browser complains.
z.config({ jitless: true });
