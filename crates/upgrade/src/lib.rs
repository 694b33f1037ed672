//! The job's domain: parts, machines, fit, gain, routes, job sheets, proof and record.
