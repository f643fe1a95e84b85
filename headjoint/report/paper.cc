#include "headjoint/report/paper.h"

namespace headjoint::report {

std::string_view paper_style() {
  return R"css(
:root{--sheet:#ffffff;--ink:#1c1f24;--soft:#54595f;--rule:#b9b4a7;--blue:#0a5688;--breach:#a63a16;--band2:#cfe0ec;--band4:#f4d9cc}
@media screen and (prefers-color-scheme:dark){:root{--sheet:#1b1f24;--ink:#eceae4;--soft:#a7abb2;--rule:#4a4f56;--blue:#7dbce6;--breach:#ff9a6b;--band2:#28465a;--band4:#6b4030}}
@page{margin:10mm;@bottom-right{content:"page " counter(page) " of " counter(pages);font:8pt sans-serif}}
*{box-sizing:border-box}
body{margin:0 auto;padding:6mm;max-width:202mm;background:var(--sheet);color:var(--ink);font:11.5pt/1.4 system-ui,"DejaVu Sans",sans-serif;font-variant-numeric:tabular-nums;overflow-wrap:break-word}
h1{font-size:16pt;margin:5mm 0 2mm}h2{font-size:13pt;margin:6mm 0 1mm;break-after:avoid}h3{font-size:11.5pt;margin:4mm 0 1mm;break-after:avoid}
p{margin:1mm 0 2mm}ul{margin:1mm 0;padding-left:6mm}
.running{width:100%;border-collapse:collapse;table-layout:fixed}.running>thead>tr>td,.running>tbody>tr>td{padding:0;border:0}.running>thead{display:none}
.title{display:grid;grid-template-columns:1fr auto auto auto;border:0.6mm solid var(--ink)}
.title>div{padding:1.5mm 3mm;border-left:0.3mm solid var(--ink)}.title>div:first-child{border-left:0}
.title small{display:block;color:var(--soft);font-size:9pt}.title strong{font-size:13pt}
.say{border-left:1.2mm solid var(--ink);padding:1mm 4mm;font-size:14pt;margin:3mm 0}
.muted{color:var(--soft);font-size:10pt}
.data{width:100%;border-collapse:collapse;margin:1mm 0 3mm;font-size:10.5pt}
.data caption{text-align:left;font-weight:600;padding:1mm 0;break-after:avoid}.data thead{break-after:avoid}
.data th,.data td{padding:1.2mm 2mm 1.2mm 0;border-bottom:0.25mm solid var(--rule);text-align:left;vertical-align:top;font-weight:400}
.data thead th{color:var(--soft);font-size:9.5pt;font-weight:600;border-bottom-color:var(--ink)}
.data .n{text-align:right;white-space:nowrap;padding-left:3mm}.data .n+:not(.n){padding-left:4mm}.data thead .n{white-space:normal}.data .k{white-space:nowrap}.data tr,.data.short{break-inside:avoid}.data tbody tr:nth-child(-n+2),.data tbody tr:last-child{break-before:avoid}
.data.long td,.data.long th{padding-top:0.5mm;padding-bottom:0.5mm}.chances th:first-child{width:62mm}.chances td:nth-child(2){width:52mm}
.data .big{font-size:13pt}.bar{display:block;width:48mm;height:5mm}
.bar .frame{fill:none;stroke:var(--ink)}.bar .fill{fill:var(--ink)}.bar .range{fill:none;stroke:var(--ink)}
.caution{border:0.6mm solid var(--ink);padding:1.5mm 3mm;margin:2mm 0;break-inside:avoid;break-after:avoid}
.caution strong{border:0.3mm solid var(--ink);padding:0 2mm;margin-right:2mm;letter-spacing:.03em}
.check,.face,figure{break-inside:avoid}.check{margin:0 0 4mm}figure{margin:3mm 0}figcaption{font-size:10pt;color:var(--soft)}
.joint-plan{display:block;width:100%;height:auto;max-height:118mm}
.page{break-before:page}.sheets .data th,.sheets .data td{padding-top:1.1mm;padding-bottom:1.1mm}.sheets .joint-plan{max-height:72mm}.sheets .caution{padding:0.5mm 2mm;margin:1mm 0;font-size:9.5pt}.step{margin:1mm 0 1.5mm;padding-left:8mm;text-indent:-8mm;break-inside:avoid}.step .muted,.step bdi{text-indent:0}
.write{border-bottom:0.3mm solid var(--ink);height:9mm}
.tick{display:inline-block;width:6mm;height:6mm;border:0.4mm solid var(--ink);margin-right:3mm;vertical-align:middle}
.choices{list-style:none;padding:0}.choices li{margin:2mm 0}
.owner{font-size:11pt;line-height:1.28}.owner h1{margin:2.5mm 0 1mm}.owner h2{margin:3mm 0 0.5mm}.owner .say{margin:1.5mm 0;font-size:13pt}.owner p,.owner .caution{margin:1mm 0}.owner .sign{margin-top:0}.owner .choices li{display:inline-block;margin:1mm 8mm 1mm 0}.owner+footer .muted{font-size:9pt}.owner .data,.owner .caution{font-size:10.5pt}.owner .data{margin:0 0 1mm}.owner .data th,.owner .data td{padding-top:0.6mm;padding-bottom:0.6mm}
.shop{font-size:10pt;line-height:1.2}.shop h1{margin:2mm 0 0.5mm}.shop h2{margin:2mm 0 0.5mm;font-size:12pt}.shop p,.shop ul{margin:0.5mm 0}.shop .data{font-size:9.5pt;margin:0 0 1mm}.shop .data th,.shop .data td{padding:0.5mm 2mm 0.5mm 0}.shop .data caption{padding:0.5mm 0}.shop .choices li{margin:0.6mm 0;padding-left:8mm;text-indent:-8mm}.shop .tick{width:4.2mm;height:4.2mm;text-indent:0}.shop .sign{margin-top:0}.shop+footer .muted{font-size:9pt;margin:0}
.sign{display:grid;grid-template-columns:1fr 1fr;gap:10mm;margin-top:4mm;break-inside:avoid}
.jp-deck,.jp-bore,.jp-facebore,.jp-band3{fill:var(--sheet)}.jp-back{fill:var(--sheet)}.jp-halo{stroke:var(--sheet)}
.jp-deck,.jp-bore,.jp-ring,.jp-oil,.jp-dim,.jp-lead,.jp-contact,.jp-band1,.jp-band2,.jp-band3,.jp-band4,.jp-band5{stroke:var(--ink)}
.jp-drain,.jp-hole,.jp-bolt,.jp-cross,.jp-facebore{stroke:var(--soft)}.jp-coolant{stroke:var(--blue)}.jp-breach{stroke:var(--breach)}
.jp-tag,.jp-listed,.jp-head,.jp-height,.jp-legend,.jp-note{fill:var(--ink)}.jp-number,.jp-dimtext{fill:var(--soft)}
.jp-band1{fill:var(--blue)}.jp-band2{fill:var(--band2)}.jp-band4{fill:var(--band4)}.jp-band5{fill:var(--breach)}
@media print{:root{--sheet:#fff;--ink:#000;--soft:#333;--rule:#888;--blue:#000;--breach:#000;--band2:#ddd;--band4:#fff}
body{padding:0;max-width:190mm;color:#000;background:#fff}.running>thead{display:table-header-group}
.runhead{display:flex;justify-content:space-between;gap:6mm;font-size:9pt;border-bottom:0.3mm solid #000;margin-bottom:3mm}
a{color:inherit;text-decoration:none}}
@media screen and (max-width:640px){body{padding:3mm}.title{grid-template-columns:1fr 1fr}.title>div:nth-child(3){border-left:0}
.scroll,figure{overflow-x:auto}.scroll .data{min-width:150mm}.joint-plan{min-width:150mm}.sign{gap:4mm}
.chances thead{display:none}.chances tr{display:grid;grid-template-columns:1fr auto auto;border-bottom:0.25mm solid var(--rule)}.chances tr>*{border:0}
.chances th:first-child,.chances td:nth-child(2){grid-column:1/4;width:auto}.chances td:last-child{display:none}.chances td:nth-child(4){font-size:11pt}}
)css";
}

}  // namespace headjoint::report
