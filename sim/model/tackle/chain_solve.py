"""The chain's linear system: block Thomas over 3x3 blocks, and the tensions it implies."""

import math

from sim.base.arrays import FloatArray
from sim.base.kernel import kernel
from sim.model import layout as lay
from sim.model.tackle.chain_forces import (
    K_AXX,
    K_AXY,
    K_AXZ,
    K_AYY,
    K_AYZ,
    K_AZZ,
    K_BXX,
    K_BXY,
    K_BXZ,
    K_BYY,
    K_BYZ,
    K_BZZ,
    K_EA,
    K_MASS,
    K_REST,
    K_RX,
    K_RY,
    K_RZ,
    K_TENSION,
    K_V0X,
    K_V0Y,
    K_V0Z,
    SHORTEST_M,
)


@kernel
def solve(nodes: FloatArray, count: int, work: FloatArray) -> float:
    """Solve the block-tridiagonal system for the change of velocity, add it, and return the largest of it [m/s].

    The last node is driven.

    Block Thomas from the anchor up: A is kept as its inverse, six numbers of a symmetric 3x3 block.
    """
    last = count - 2
    for i in range(count - 1):
        mass = work[i, K_MASS]
        xx = work[i, K_AXX] + mass
        yy = work[i, K_AYY] + mass
        zz = work[i, K_AZZ] + mass
        xy = work[i, K_AXY]
        xz = work[i, K_AXZ]
        yz = work[i, K_AYZ]
        rx = work[i, K_RX] - mass * (nodes[i, lay.N_VN] - work[i, K_V0X])
        ry = work[i, K_RY] - mass * (nodes[i, lay.N_VE] - work[i, K_V0Y])
        rz = work[i, K_RZ] - mass * (nodes[i, lay.N_VZ] - work[i, K_V0Z])
        if i > 0:
            h = i - 1
            bxx = work[h, K_BXX]
            byy = work[h, K_BYY]
            bzz = work[h, K_BZZ]
            bxy = work[h, K_BXY]
            bxz = work[h, K_BXZ]
            byz = work[h, K_BYZ]
            ixx = work[h, K_AXX]
            iyy = work[h, K_AYY]
            izz = work[h, K_AZZ]
            ixy = work[h, K_AXY]
            ixz = work[h, K_AXZ]
            iyz = work[h, K_AYZ]
            # C = inverse * B, then A -= B C and r -= B (inverse r)
            c11 = ixx * bxx + ixy * bxy + ixz * bxz
            c12 = ixx * bxy + ixy * byy + ixz * byz
            c13 = ixx * bxz + ixy * byz + ixz * bzz
            c21 = ixy * bxx + iyy * bxy + iyz * bxz
            c22 = ixy * bxy + iyy * byy + iyz * byz
            c23 = ixy * bxz + iyy * byz + iyz * bzz
            c31 = ixz * bxx + iyz * bxy + izz * bxz
            c32 = ixz * bxy + iyz * byy + izz * byz
            c33 = ixz * bxz + iyz * byz + izz * bzz
            xx -= bxx * c11 + bxy * c21 + bxz * c31
            yy -= bxy * c12 + byy * c22 + byz * c32
            zz -= bxz * c13 + byz * c23 + bzz * c33
            xy -= bxx * c12 + bxy * c22 + bxz * c32
            xz -= bxx * c13 + bxy * c23 + bxz * c33
            yz -= bxy * c13 + byy * c23 + byz * c33
            px = work[h, K_RX]
            py = work[h, K_RY]
            pz = work[h, K_RZ]
            rx -= bxx * px + bxy * py + bxz * pz
            ry -= bxy * px + byy * py + byz * pz
            rz -= bxz * px + byz * py + bzz * pz
        cxx = yy * zz - yz * yz
        cxy = xz * yz - xy * zz
        cxz = xy * yz - xz * yy
        inv = 1.0 / (xx * cxx + xy * cxy + xz * cxz)
        cxx *= inv
        cxy *= inv
        cxz *= inv
        cyy = (xx * zz - xz * xz) * inv
        cyz = (xy * xz - xx * yz) * inv
        czz = (xx * yy - xy * xy) * inv
        work[i, K_AXX] = cxx
        work[i, K_AYY] = cyy
        work[i, K_AZZ] = czz
        work[i, K_AXY] = cxy
        work[i, K_AXZ] = cxz
        work[i, K_AYZ] = cyz
        # The right-hand side is kept as inverse * r.
        work[i, K_RX] = cxx * rx + cxy * ry + cxz * rz
        work[i, K_RY] = cxy * rx + cyy * ry + cyz * rz
        work[i, K_RZ] = cxz * rx + cyz * ry + czz * rz
    largest = 0.0
    for i in range(last, -1, -1):
        if i < last:
            qx = work[i + 1, K_RX]
            qy = work[i + 1, K_RY]
            qz = work[i + 1, K_RZ]
            bx = work[i, K_BXX] * qx + work[i, K_BXY] * qy + work[i, K_BXZ] * qz
            by = work[i, K_BXY] * qx + work[i, K_BYY] * qy + work[i, K_BYZ] * qz
            bz = work[i, K_BXZ] * qx + work[i, K_BYZ] * qy + work[i, K_BZZ] * qz
            work[i, K_RX] -= work[i, K_AXX] * bx + work[i, K_AXY] * by + work[i, K_AXZ] * bz
            work[i, K_RY] -= work[i, K_AXY] * bx + work[i, K_AYY] * by + work[i, K_AYZ] * bz
            work[i, K_RZ] -= work[i, K_AXZ] * bx + work[i, K_AYZ] * by + work[i, K_AZZ] * bz
        nodes[i, lay.N_VN] += work[i, K_RX]
        nodes[i, lay.N_VE] += work[i, K_RY]
        nodes[i, lay.N_VZ] += work[i, K_RZ]
        largest = max(largest, abs(work[i, K_RX]), abs(work[i, K_RY]), abs(work[i, K_RZ]))
    return largest


@kernel
def keep_tensions(nodes: FloatArray, line: FloatArray, dt_s: float, work: FloatArray) -> None:
    """Keep each segment's tension as the last pass linearised it, and whether it is taut."""
    count = int(line[lay.L_COUNT])
    for i in range(count - 1):
        j = i + 1
        dx = nodes[j, lay.N_NORTH] - nodes[i, lay.N_NORTH] + dt_s * (nodes[j, lay.N_VN] - nodes[i, lay.N_VN])
        dy = nodes[j, lay.N_EAST] - nodes[i, lay.N_EAST] + dt_s * (nodes[j, lay.N_VE] - nodes[i, lay.N_VE])
        dz = nodes[j, lay.N_Z] - nodes[i, lay.N_Z] + dt_s * (nodes[j, lay.N_VZ] - nodes[i, lay.N_VZ])
        length = max(math.sqrt(dx * dx + dy * dy + dz * dz), SHORTEST_M)
        # The step changed the segment by the solution's own part along it: that is the tension the solve balanced.
        gx = work[j, K_RX] if j < count - 1 else 0.0
        gy = work[j, K_RY] if j < count - 1 else 0.0
        gz = work[j, K_RZ] if j < count - 1 else 0.0
        grown = ((gx - work[i, K_RX]) * dx + (gy - work[i, K_RY]) * dy + (gz - work[i, K_RZ]) * dz) / length
        was_active = work[i, K_TENSION] > 0.0 or nodes[i, lay.N_ACTIVE] > 0.0
        tension = work[i, K_TENSION] + dt_s * (work[i, K_EA] / work[i, K_REST]) * grown if was_active else 0.0
        nodes[i, lay.N_ACTIVE] = 1.0 if tension > 0.0 else 0.0
        nodes[i, lay.N_TENSION] = max(tension, 0.0)
