"""First passage of the IOU level out of [lo,hi], daily monitoring.
Brute force (1e6 paths, numba) vs fast solver: QMC (Sobol, fixed) + analytic integration of the level uncertainty."""
import sys; sys.path.insert(0,__import__('os').path.dirname(__import__('os').path.abspath(__file__)))
import numpy as np, math, json, time
from numba import njit
from scipy.stats import qmc, norm
from ioucore import trans
@njit(cache=True)
def brute(seed,N,mL,mS,pLL,pLS,pSS,sr,tau,q,lo,hi,days):
    np.random.seed(seed)
    sig=sr*math.sqrt(2/tau);a12,a22,q11,q12,q22=trans(1.0,tau,sig)
    l11=math.sqrt(q11);l21=q12/l11 if l11>0 else 0.0;l22=math.sqrt(max(q22-l21*l21,0.0))
    c11=math.sqrt(pLL);c21=pLS/c11 if c11>0 else 0.0;c22=math.sqrt(max(pSS-c21*c21,0.0))
    cnt=np.zeros(days+1)
    for p in range(N):
        z1=np.random.randn();z2=np.random.randn()
        L=mL+c11*z1;S=mS+c21*z1+c22*z2
        if L<lo or L>hi: cnt[0]+=1;continue
        for d in range(1,days+1):
            z1=np.random.randn();z2=np.random.randn()
            L+=a12*S+l11*z1;S=a22*S+l21*z1+l22*z2
            if q>0: L+=q*np.random.randn()
            if L<lo or L>hi: cnt[d]+=1;break
    return np.cumsum(cnt)/N
@njit(cache=True)
def Phi(x): return 0.5*math.erfc(-x*0.7071067811865476)
@njit(cache=True)
def fast(Z,mL,mS,pLL,pLS,pSS,sr,tau,q,lo,hi,step,nsteps):
    """Z: N x (1+2*nsteps) fixed standard normals (QMC).  P(out by step j), j=0..nsteps.
    L0 = E[L0|S0] + e, e ~ N(0, pLL - pLS^2/pSS) is integrated analytically per path via running min/max of the path.
    Inside a step the extremum of the cubic Hermite path through (L,S) at both ends is used."""
    N=Z.shape[0]
    sig=sr*math.sqrt(2/tau);a12,a22,q11,q12,q22=trans(step,tau,sig);q11+=q*q*step
    l11=math.sqrt(q11);l21=q12/l11 if l11>0 else 0.0;l22=math.sqrt(max(q22-l21*l21,0.0))
    sS=math.sqrt(pSS);b=pLS/pSS if pSS>0 else 0.0;se=math.sqrt(max(pLL-b*pLS,1e-12))
    out=np.zeros(nsteps+1)
    for p in range(N):
        S=mS+sS*Z[p,0];L=mL+b*(S-mS);mx=L;mn=L
        out[0]+=1-max(Phi((hi-mx)/se)-Phi((lo-mn)/se),0.0)
        for j in range(nsteps):
            L0=L;S0=S
            z1=Z[p,1+2*j];z2=Z[p,2+2*j]
            L=L0+a12*S0+l11*z1;S=a22*S0+l21*z1+l22*z2
            # cubic Hermite extremum: derivative quadratic in u: A u^2+B u+C
            d=L-L0;C=S0*step;D=S*step
            A=3*(C+D)-6*d;B=6*d-4*C-2*D
            if L>mx: mx=L
            if L<mn: mn=L
            if C*D<0 and q==0.0:
                disc=B*B-4*A*C
                if disc>=0:
                    if abs(A)>1e-14:
                        rt=math.sqrt(disc)
                        for k in range(2):
                            u=(-B+(rt if k==0 else -rt))/(2*A)
                            if 0<u<1:
                                v=L0+u*(C+u*(B/2+u*A/3))
                                if v>mx: mx=v
                                if v<mn: mn=v
                    else:
                        u=-C/B if B!=0 else -1
                        if 0<u<1:
                            v=L0+u*(C+u*B/2)
                            if v>mx: mx=v
                            if v<mn: mn=v
            if hi-lo<=mx-mn: w=0.0
            else: w=max(Phi((hi-mx)/se)-Phi((lo-mn)/se),0.0)
            out[j+1]+=1-w
    return out/N
def table(N,steps,seed=12345):
    s=qmc.Sobol(1+2*steps,scramble=True,seed=seed);u=s.random(N);return norm.ppf(np.clip(u,1e-12,1-1e-12))
CASES=[('f01_centre_calm',300,0.0,4.0,0.0,1e-3,.03,60.,292,308),
('f02_drifting_up',303,0.06,3.0,0.03,1.5e-3,.05,90.,292,308),
('f03_near_edge',306.5,-0.03,2.5,0.0,1e-3,.05,60.,292,308),
('f04_wide_uncertain',300,0.0,16.0,0.1,6e-3,.10,90.,292,308),
('f05_already_out',309.,0.02,2.0,0.01,1e-3,.04,60.,292,308),
('f06_long_memory',300,0.02,2.0,0.02,4e-4,.03,365.,292,308),
('f07_short_memory',300,0.0,2.0,0.0,4e-3,.12,15.,292,308),
('f08_asymmetric_one_sided',300,-0.04,4.0,-0.02,2e-3,.05,75.,293,1e9)]
if __name__=='__main__':
    ND=365;NB=1000000;brute(0,10,*CASES[0][1:8],0.0,292.,308.,10)
    gold=[];cfg={}
    for N,st in ((256,7),(512,7),(1024,7),(2048,7),(512,14),(1024,14),(1024,3)):
        n=ND//st;cfg[(N,st)]=table(N,n)
    fast(cfg[(256,7)],300,0,4,0,1e-3,.03,60.,0.,292,308,7.0,10)
    print('%-22s'%'case','P(28) P(84) P(182) P(364) brute | max|err| by (N,step)')
    tot={k:0 for k in cfg};tm={k:0 for k in cfg}
    for nm,mL,mS,pLL,pLS,pSS,sr,tau,lo,hi in CASES:
        t0=time.time();P=brute(2024,NB,float(mL),mS,pLL,pLS,pSS,sr,tau,0.0,float(lo),float(hi),ND);tb=time.time()-t0
        g=dict(name=nm,state=dict(level=mL,rate=mS,var_level=pLL,cov=pLS,var_rate=pSS),stationary_rate_sd=sr,sigma=sr*math.sqrt(2/tau),tau=tau,lo=lo,hi=hi if hi<1e8 else None,monitoring='daily, days 0..365',days=[0,7,14,28,56,84,112,140,182,273,364,365],paths=NB,seed=2024)
        g['p_out_by']=[float(P[d]) for d in g['days']];g['mc_se']=[math.sqrt(max(x*(1-x),0)/NB) for x in g['p_out_by']]
        gold.append(g);row=[]
        for (N,st),Z in cfg.items():
            n=ND//st;t0=time.perf_counter()
            for _ in range(3): F=fast(Z,float(mL),mS,pLL,pLS,pSS,sr,tau,0.0,float(lo),float(hi),float(st),n)
            dt=(time.perf_counter()-t0)/3*1e3
            e=max(abs(F[j]-P[j*st]) for j in range(n+1));row.append('%d/%d:%.4f'%(N,st,e));tot[(N,st)]=max(tot[(N,st)],e);tm[(N,st)]=max(tm[(N,st)],dt)
        print('%-22s'%nm,['%.4f'%P[d] for d in (28,84,182,364)],row,'(brute %.0fs)'%tb,flush=True)
    print('worst error',{k:round(v,4) for k,v in tot.items()});print('max ms',{k:round(v,2) for k,v in tm.items()})
    json.dump(dict(generator='scripts/t5_fp.py numba 0.56.4 numpy %s; brute-force Monte Carlo, exact daily IOU transition, no level noise'%np.__version__,cases=gold),open('out/golden/first_passage.json','w'),indent=1)
