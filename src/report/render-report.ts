import type { Results } from '../model/results.ts';
import { anchorsOf } from './anchors.ts';
import type { ChartGroup } from './charts/chart-group.ts';
import type { Figure } from './charts/figure.ts';
import { chartGroups } from './charts.ts';
import { contentPolicy } from './content-policy.ts';
import { DRAWING_STYLE } from './drawing/drawing-style.ts';
import { findingGroups } from './finding-groups.ts';
import { embeddedJson, escapeHtml, html } from './html.ts';
import { NO_IMAGES, type PhotoImages } from './photos.ts';
import type { ReportAssets } from './report-assets.ts';
import { aboutSection } from './sections/about-section.ts';
import { adviceSection } from './sections/advice-section.ts';
import { answersSection } from './sections/answers-section.ts';
import { findingsSection } from './sections/findings-section.ts';
import { firstScreen } from './sections/first-screen.ts';
import { glanceSection } from './sections/glance-section.ts';
import { type PageParts, picturesById } from './sections/page-parts.ts';
import { picturesSection } from './sections/pictures-section.ts';
import { recordingsSection } from './sections/recordings-section.ts';
import { cautionsSection, methodsSection } from './sections/reference-sections.ts';
import { tapsSection } from './sections/taps-section.ts';
import { tapLabelOf } from './tap-label.ts';
import { titlesOf } from './titles.ts';
import { verdicts } from './verdicts.ts';
import { withTapNames } from './with-tap-names.ts';

/**
 * The report as one HTML page that needs nothing else: no network, no other file.
 *
 * @param measured what was analysed; nothing else decides what the page says, so equal results give equal bytes
 * @param assets the texts of the page's template, style, script and plotting library, and a hash for its content policy
 * @param images photos to show; all others are named
 * @returns the page; every text from sessions and file names is escaped
 */
export function renderReport(
  measured: Results,
  assets: ReportAssets,
  images: PhotoImages = NO_IMAGES,
): string {
  const results = withTapNames(measured);
  const groups = chartGroups(results);
  return filled(assets.pageHtml, {
    policy: contentPolicy(assets),
    title: escapeHtml(`${results.session.name}: factory radio report`),
    name: escapeHtml(results.session.name),
    style: assets.style + DRAWING_STYLE,
    body: bodyHtml(results, groups, images),
    charts: chartData(groups),
    plotting: assets.plotting.deflatedBase85,
    script: assets.script,
  });
}

function bodyHtml(results: Results, groups: readonly ChartGroup[], images: PhotoImages): string {
  const label = tapLabelOf(results);
  const findings = findingGroups(results, label);
  const anchors = anchorsOf(results, findings);
  const parts: PageParts = {
    results,
    groups: findings,
    anchors,
    label,
    titles: titlesOf(results, findings, label),
    pictures: picturesById(groups.flatMap(({ charts }) => charts)),
  };
  return html`${firstScreen(results, anchors, label)}
${glanceSection(results)}
${answersSection(verdicts(results), anchors)}
${picturesSection(groups)}
${adviceSection(parts)}
${findingsSection(parts)}
${cautionsSection()}
${methodsSection()}
${tapsSection(results, images)}
${recordingsSection(results, anchors, label)}
${aboutSection(results, label)}`.text;
}

function chartData(groups: readonly ChartGroup[]): string {
  const charts = groups.flatMap(({ charts }) => charts);
  const data = charts.map(({ id, figure, figureInDbu }) => [
    id,
    {
      figure: sharedAbscissae(figure),
      figureInDbu: figureInDbu === null ? null : sharedAbscissae(figureInDbu),
    },
  ]);
  // Four significant digits are finer than any line and any value that is read out.
  const short = (value: unknown) => (typeof value === 'number' ? Number(value.toPrecision(4)) : value);
  return embeddedJson(JSON.parse(JSON.stringify(Object.fromEntries(data), (_, value) => short(value)))).text;
}

/** Abscissae that are those of the first trace are left out: the page takes them from there. */
function sharedAbscissae(figure: Figure) {
  const first = JSON.stringify(figure.data[0]?.x);
  const data = figure.data.map(({ x, ...trace }, i) =>
    i > 0 && JSON.stringify(x) === first ? trace : { ...trace, x },
  );
  return { ...figure, data };
}

/** Fills `{{name}}` once over, so that nothing that was filled in is filled again. */
function filled(template: string, parts: Readonly<Record<string, string>>): string {
  return template.replace(/\{\{(\w+)\}\}/g, (_, name: string) => {
    const part = parts[name];
    if (part === undefined)
      throw new Error(`the page template asks for "${name}", which is not among its parts`);
    return part;
  });
}
