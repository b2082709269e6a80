"""Golden values: measurement error from replicates."""
import numpy as np, json, scipy, math
from scipy import stats, special, optimize
rng=np.random.default_rng(41)
def within(groups):
    ss=sum(((np.array(g)-np.mean(g))**2).sum() for g in groups);nu=sum(len(g)-1 for g in groups);return ss,nu
cases=[]
sets=[[[301.2,303.9]],[[301.2,303.9],[298.0,297.1],[305.5,309.0]],[[300,302,305],[311,309.5],[298.2,297.9,299.1,301.0],[305.0]],[[round(float(300+i+rng.normal(0,2.2)),1) for _ in range(k)] for i,k in enumerate(rng.integers(2,4,25))],[[300.0,300.0],[299.5,299.5]]]
for g in sets:
    ss,nu=within(g);s2=ss/nu;s=math.sqrt(s2);d=dict(groups=g,df=nu,ss=ss,s_within=s,TEM_pairs=None)
    if all(len(x)==2 for x in g): d['TEM_pairs']=math.sqrt(sum((a-b)**2 for a,b in g)/(2*len(g)))
    d['SDC_single']=1.96*math.sqrt(2)*s;d['SDC_mean_of_2']=1.96*math.sqrt(2)*s/math.sqrt(2);d['repeatability_limit_2p77']=stats.norm.ppf(.975)*math.sqrt(2)*s
    d['ci95_s']=[s*math.sqrt(nu/stats.chi2.ppf(.975,nu)),s*math.sqrt(nu/stats.chi2.ppf(.025,nu))]
    for nu0,s0 in ((6.0,2.5),(20.0,2.5)):
        nn=nu0+nu;sn2=(nu0*s0*s0+ss)/nn
        d['shrunk_nu0_%g_s0_%g'%(nu0,s0)]=dict(df=nn,s=math.sqrt(sn2),mean_var=nn*sn2/(nn-2),mode_var=nn*sn2/(nn+2),median_sd=math.sqrt(nn*sn2/stats.chi2.ppf(.5,nn)),ci95_sd=[math.sqrt(nn*sn2/stats.chi2.ppf(.975,nn)),math.sqrt(nn*sn2/stats.chi2.ppf(.025,nn))])
    cases.append(d)
# empirical Bayes (Smyth 2004) for operators
ops=[]
true=np.sqrt(8*2.2**2/stats.chi2.rvs(8,size=14,random_state=rng))
for sd in true:
    nu=int(rng.integers(3,30));ops.append((nu,float(sd**2*stats.chi2.rvs(nu,random_state=rng)/nu)))
nu=np.array([o[0] for o in ops],float);s2=np.array([o[1] for o in ops])
e=np.log(s2)-special.digamma(nu/2)+np.log(nu/2);eb=e.mean();v=((e-eb)**2).sum()/(len(e)-1)-special.polygamma(1,nu/2).mean()
nu0=2*optimize.brentq(lambda x:special.polygamma(1,x)-v,1e-3,1e6) if v>0 else float('inf')
s02=math.exp(eb+special.digamma(nu0/2)-math.log(nu0/2)) if v>0 else math.exp(eb)
post=[math.sqrt((nu0*s02+n*s)/(nu0+n)) for n,s in ops]
# session component by nested anova: traces within sessions within (horse, week)
hw=[]
for k in range(12):
    L=rng.normal(300,20);hw.append([[round(float(L+b+rng.normal(0,2.0)),2) for _ in range(2)] for b in rng.normal(0,1.5,2)])
ms_w=np.mean([np.var(s,ddof=1) for h in hw for s in h]);ms_b=np.mean([2*np.var([np.mean(s) for s in h],ddof=1) for h in hw])
nested=dict(data=hw,design='12 horse-weeks x 2 sessions x 2 traces',ms_trace=ms_w,ms_session=ms_b,var_session=max(0,(ms_b-ms_w)/2),df_trace=24,df_session=12)
json.dump(dict(source='scripts/t4_measerr.py scipy %s numpy %s seed 41'%(scipy.__version__,np.__version__),formulas='see stats.md section 4',cases=cases,operators_empirical_bayes=dict(ref='Smyth 2004 Stat Appl Genet Mol Biol 3(1):3 doi:10.2202/1544-6115.1027 (method from memory)',operators=[dict(df=a,s2=b) for a,b in ops],nu0=nu0,s0=math.sqrt(s02),posterior_sd=post),nested=nested),open('out/golden/measurement_error.json','w'),indent=1,default=float)
print(cases[0],nu0,math.sqrt(s02),nested['var_session'])
