import { writeFileSync } from 'node:fs'
import { manualPages } from './manual-pages.ts'

for (const page of manualPages()) writeFileSync(page.path, page.text)
