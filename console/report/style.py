"""How the page looks: colours as variables, light or dark by the reader's screen, light on paper."""

from __future__ import annotations

from console.pictures.palettes import DARK, LIGHT, Palette
from console.pictures.svg.style import FONT, page_style

_NAMES = ("background", "ink", "strong", "muted", "good", "warn", "bad")

_LAYOUT = f"""
*{{box-sizing:border-box}}
html{{-webkit-text-size-adjust:100%}}
body{{margin:0 auto;padding:1.5rem 1.25rem 3rem;max-width:54rem;background:var(--background);color:var(--ink);
font:16px/1.5 {FONT};-webkit-print-color-adjust:exact;print-color-adjust:exact}}
h1,h2,h3{{color:var(--strong);line-height:1.25;margin:0}}
h1{{font-size:1.7rem}} h2{{font-size:1.3rem;margin-top:2.6rem}} h3{{font-size:1rem;margin-top:1.3rem}}
p{{margin:.4rem 0}} a{{color:inherit}}
.quiet{{color:var(--muted);font-size:.9rem}}
.act{{color:var(--bad)}} .watch{{color:var(--warn)}} .unknown{{color:var(--ink)}} .fine{{color:var(--good)}}
.not_aboard{{color:var(--muted)}}
.badge{{font-weight:700;white-space:nowrap;font-size:.85rem;letter-spacing:.04em;text-transform:uppercase}}
.number{{font-size:1.2rem;font-weight:600;color:var(--strong);font-variant-numeric:tabular-nums}}
.number small{{font-weight:400;font-size:.9rem;color:var(--muted)}}
.first{{list-style:none;padding:0;margin:1rem 0 0}}
.first li{{display:grid;grid-template-columns:8.5rem 1fr;gap:.1rem .8rem;padding:.55rem 0;
border-top:1px solid var(--rule)}}
.first a{{text-decoration:none}} .first a:hover{{text-decoration:underline}}
.first .number{{font-size:1rem}}
article{{border-top:3px solid var(--rule);margin-top:2.2rem;padding-top:1rem}}
article h2{{margin-top:.1rem}}
.verdict{{font-size:1.1rem;font-weight:600;color:var(--strong)}}
.mind{{border:2px solid var(--warn);border-radius:6px;padding:.7rem 1rem;margin:1rem 0}}
.mind h3{{margin:0 0 .3rem;color:var(--warn)}} .mind ul{{margin:.2rem 0;padding-left:1.2rem}}
.mind li{{margin:.35rem 0}}
.next{{border-left:5px solid var(--good);padding:.2rem 0 .2rem .9rem;margin:1rem 0}}
.why,.helps{{margin:.3rem 0;padding:0;list-style:none}} .why li,.helps li{{padding:.28rem 0}}
.helps>li{{padding:.5rem 0}} .helps table{{margin:.2rem 0 0}} .helps tbody th{{color:var(--ink);width:52%}}
.share{{display:inline-block;width:7rem;height:.75rem;border:1px solid var(--muted);border-radius:2px;
margin-right:.6rem;vertical-align:baseline}}
.share i{{display:block;height:100%;background:var(--muted)}}
figure{{margin:1.1rem 0}} figure svg{{display:block;max-width:100%;height:auto}}
.wide{{overflow-x:auto}}
table{{border-collapse:collapse;width:100%;font-size:.92rem;margin:.5rem 0 0}}
th,td{{text-align:left;vertical-align:top;padding:.32rem .9rem .32rem 0;border-top:1px solid var(--rule);
font-weight:400}}
thead th{{color:var(--muted);font-size:.85rem;border:0}} tbody th{{color:var(--strong)}}
.inputs table{{table-layout:fixed}} .inputs th{{width:42%}} .inputs td:last-child{{width:18%}}
footer{{margin-top:3rem;border-top:3px solid var(--rule);padding-top:.8rem}}
@media (max-width:34rem){{.first li{{grid-template-columns:1fr}}}}
@media print{{@page{{margin:14mm}} body{{font-size:10pt;padding:0;max-width:none}} table{{font-size:8.5pt}}
figure{{margin:.6rem 0}} figure svg{{max-width:82%}} .inputs th,.inputs td{{padding:.08rem .6rem .08rem 0}}
th,td{{padding:.18rem .8rem .18rem 0}} h2,h3{{break-after:avoid}} figure,.mind,.next,tr,.first li,.helps li{{break-inside:avoid}}
.first{{break-after:page}} article{{break-inside:auto}} a{{text-decoration:none}}}}
"""


def _variables(palette: Palette, rule: str) -> str:
    return "".join(f"--{name}:{palette.colour(name)};" for name in _NAMES) + f"--rule:{rule};"


def report_style() -> str:
    """The whole style sheet of the page, pictures included."""
    light, dark = _variables(LIGHT, "#d9d2c2"), _variables(DARK, "#33404d")
    paper = light.replace(f"--background:{LIGHT.background}", "--background:#ffffff")
    return (
        f":root{{color-scheme:light dark;{light}}}"
        f"@media screen and (prefers-color-scheme:dark){{:root{{{dark}}}}}"
        f"{_LAYOUT}{page_style()}"
        # Last, so that it holds on paper: no ink is spent on the ground.
        f"@media print{{:root{{{paper}}}.pic .f-background{{fill:#fff}}.pic .s-background{{stroke:#fff}}}}"
    )
