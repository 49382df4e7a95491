"""Which ways of writing numbers, money and days there are: a language and its country, by their names in CLDR.

Those of Unicode's Common Locale Data Repository that name a country, because days and money are written by country.
"""

from __future__ import annotations

#: language (and script) : countries
_COUNTRIES = (
    "aa:DJ,ER,ET ab:GE af:NA,ZA agq:CM ak:GH am:ET an:ES ann:NG apc:SY "
    "ar:AE,BH,DJ,DZ,EG,EH,ER,IL,IQ,JO,KM,KW,LB,LY,MA,MR,OM,PS,QA,SA,SD,SO,SS,SY ar:TD,TN,YE arn:CL as:IN asa:TZ "
    "ast:ES az_Arab:IQ,IR,TR az_Cyrl:AZ az_Latn:AZ ba:RU bal_Arab:PK bal_Latn:PK bas:CM be:BY bem:ZM bew:ID bez:TZ "
    "bg:BG bgc:IN bgn:AE,AF,IR,OM,PK bho:IN blo:BJ blt:VN bm:ML bm_Nkoo:ML bn:BD,IN bo:CN,IN br:FR brx:IN bs_Cyrl:BA "
    "bs_Latn:BA bss:CM byn:ER ca:AD,ES,FR,IT cad:US cch:NG ccp:BD,IN ce:RU ceb:PH cgg:UG cho:US chr:US cic:US "
    "ckb:IQ,IR co:FR cop:EG cs:CZ csw:CA cu:RU cv:RU cy:GB da:DK,GL dav:KE de:AT,BE,CH,DE,IT,LI,LU dje:NE doi:IN "
    "dsb:DE dua:CM dv:MV dyo:SN dz:BT ebu:KE ee:GH,TG el:CY,GR "
    "en:AE,AG,AI,AS,AT,AU,BB,BE,BI,BM,BS,BW,BZ,CA,CC,CH,CK,CM,CX,CY,CZ,DE,DG,DK "
    "en:DM,ER,ES,FI,FJ,FK,FM,FR,GB,GD,GG,GH,GI,GM,GS,GU,GY,HK,HU,ID,IE,IL,IM,IN "
    "en:IO,IT,JE,JM,KE,KI,KN,KY,LC,LR,LS,MG,MH,MO,MP,MS,MT,MU,MV,MW,MY,NA,NF,NG "
    "en:NL,NO,NR,NU,NZ,PG,PH,PK,PL,PN,PR,PT,PW,RO,RW,SB,SC,SD,SE,SG,SH,SI,SK,SL "
    "en:SS,SX,SZ,TC,TK,TO,TT,TV,TZ,UG,UM,US,VC,VG,VI,VU,WS,ZA,ZM,ZW en_Dsrt:US en_Shaw:GB "
    "es:AR,BO,BR,BZ,CL,CO,CR,CU,DO,EA,EC,ES,GQ,GT,HN,IC,MX,NI,PA,PE,PH,PR,PY,SV es:US,UY,VE et:EE eu:ES ewo:CM "
    "fa:AF,IR ff_Adlm:BF,CM,GH,GM,GN,GW,LR,MR,NE,NG,SL,SN ff_Latn:BF,CM,GH,GM,GN,GW,LR,MR,NE,NG,SL,SN fi:FI fil:PH "
    "fo:DK,FO fr:BE,BF,BI,BJ,BL,CA,CD,CF,CG,CH,CI,CM,DJ,DZ,FR,GA,GF,GN,GP,GQ,HT,KM,LU,MA "
    "fr:MC,MF,MG,ML,MQ,MR,MU,NC,NE,PF,PM,RE,RW,SC,SN,SY,TD,TG,TN,VU,WF,YT frr:DE fur:IT fy:NL ga:GB,IE gaa:GH gd:GB "
    "gez:ER,ET gl:ES gn:PY gsw:CH,FR,LI gu:IN guz:KE gv:IM ha_Arab:NG,SD ha:GH,NE,NG haw:US he:IL hi:IN hi_Latn:IN "
    "hnj_Hmnp:US hr:BA,HR hsb:DE ht:HT hu:HU hy:AM id:ID ie:EE ig:NG ii:CN is:IS it:CH,IT,SM,VA iu:CA iu_Latn:CA "
    "ja:JP jgo:CM jmc:TZ jv:ID ka:GE kaa_Cyrl:UZ kaa_Latn:UZ kab:DZ kaj:NG kam:KE kcg:NG kde:TZ kea:CV ken:CM kgp:BR "
    "khq:ML ki:KE kk_Arab:CN kk_Cyrl:KZ kk:KZ kkj:CM kl:GL kln:KE km:KH kn:IN ko:CN,KP,KR kok_Deva:IN kok_Latn:IN "
    "kpe:GN,LR ks_Arab:IN ks_Deva:IN ksb:TZ ksf:CM ksh:DE ku:TR kw:GB kxv_Deva:IN kxv_Latn:IN kxv_Orya:IN kxv_Telu:IN "
    "ky:KG la:VA lag:TZ lb:LU lg:UG lij:IT lkt:US lld:IT lmo:IT ln:AO,CD,CF,CG lo:LA lrc:IQ,IR lt:LT ltg:LV lu:CD "
    "luo:KE luy:KE lv:LV mai:IN mas:KE,TZ mdf:RU mer:KE mfe:MU mg:MG mgh:MZ mgo:CM mhn:IT mi:NZ mic:CA mk:MK ml:IN "
    "mn:MN mn_Mong:CN,MN mni_Beng:IN mni_Mtei:IN moh:CA mr:IN ms_Arab:BN,MY ms:BN,ID,MY,SG mt:MT mua:CM mus:US my:MM "
    "myv:RU mzn:IR naq:NA nb:NO,SJ nd:ZW nds:DE,NL ne:IN,NP nl:AW,BE,BQ,CW,NL,SR,SX nmg:CM nn:NO nnh:CM nqo:GN nr:ZA "
    "nso:ZA nus:SS nv:US ny:MW nyn:UG oc:ES,FR om:ET,KE or:IN os:GE,RU osa:US pa_Arab:PK pa_Guru:IN pap:AW,CW pcm:NG "
    "pis:SB pl:PL prg:PL ps:AF,PK pt:AO,BR,CH,CV,GQ,GW,LU,MO,MZ,PT,ST,TL qu:BO,EC,PE quc:GT raj:IN rhg_Rohg:BD,MM "
    "rif:MA rm:CH rn:BI ro:MD,RO rof:TZ ru:BY,KG,KZ,MD,RU,UA rw:RW rwk:TZ sa:IN sah:RU saq:KE sat_Deva:IN sat_Olck:IN "
    "sbp:TZ sc:IT scn:IT sd_Arab:PK sd_Deva:IN sdh:IQ,IR se:FI,NO,SE seh:MZ ses:ML sg:CF shi_Latn:MA shi_Tfng:MA "
    "shn:MM,TH si:LK sid:ET sk:SK skr:PK sl:SI sma:NO,SE smj:NO,SE smn:FI sms:FI sn:ZW so:DJ,ET,KE,SO sq:AL,MK,XK "
    "sr_Cyrl:BA,ME,RS,XK sr_Latn:BA,ME,RS,XK ss:SZ,ZA ssy:ER st:LS,ZA su_Latn:ID sv:AX,FI,SE sw:CD,KE,TZ,UG syr:IQ,SY "
    "szl:PL ta:IN,LK,MY,SG te:IN teo:KE,UG tg:TJ th:TH ti:ER,ET tig:ER tk:TM tn:BW,ZA to:TO tpi:PG tr:CY,TR trv:TW "
    "trw:PK ts:ZA tt:RU twq:NE tyv:RU tzm:MA ug:CN uk:UA ur:IN,PK uz_Arab:AF uz_Cyrl:UZ uz_Latn:UZ vai_Latn:LR "
    "vai_Vaii:LR ve:ZA vec:IT vi:VN vmw:MZ vun:TZ wa:BE wae:CH wal:ET wbp:AU wo:SN xh:ZA xnr:IN xog:UG yav:CM yi:UA "
    "yo:BJ,NG yrl:BR,CO,VE yue_Hans:CN yue_Hant:CN,HK,MO za:CN zgh:MA zh_Hans:CN,HK,MO,MY,SG zh_Hant:HK,MO,MY,TW "
    "zh_Latn:CN zu:ZA "
)
LOCALES: frozenset[str] = frozenset(
    f"{language}_{country}"
    for language, countries in (one.split(":") for one in _COUNTRIES.split())
    for country in countries.split(",")
)
