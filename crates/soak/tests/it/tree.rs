//! A tree of files that stands for a machine's, whose values a test changes.

use std::fs;
use std::path::PathBuf;
use std::sync::atomic::{AtomicU32, Ordering};

use soak::sensors::choice::Choice;
use soak::sensors::find::find;
use soak::sensors::sampler::Sampler;
use survey::root::Root;

/// A tree; it goes with the test.
pub(crate) struct Tree(PathBuf);

static COUNT: AtomicU32 = AtomicU32::new(0);

impl Tree {
    pub(crate) fn new(files: &[(&str, &str)]) -> Self {
        let count = COUNT.fetch_add(1, Ordering::Relaxed);
        let folder = std::env::temp_dir().join(format!("reseat-tree-{}-{count}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        let tree = Self(folder);
        for (path, text) in files {
            tree.set(path, text);
        }
        tree
    }

    /// The bench's desktop: four cores with two threads each, a package sensor, an energy counter near its end.
    pub(crate) fn bench() -> Self {
        let mut files: Vec<(String, String)> = [
            ("sys/class/hwmon/hwmon0/name", "coretemp"), // names: interface
            ("sys/class/hwmon/hwmon0/temp1_label", "Package id 0"),
            ("sys/class/hwmon/hwmon0/temp1_input", "41000"),
            ("sys/class/hwmon/hwmon0/temp1_max", "80000"),
            ("sys/class/hwmon/hwmon0/temp1_crit", "100000"),
            ("sys/class/hwmon/hwmon0/temp2_label", "Core 0"),
            ("sys/class/hwmon/hwmon0/temp2_input", "39000"),
            ("sys/class/hwmon/hwmon0/temp2_crit", "100000"),
            ("sys/class/hwmon/hwmon1/name", "board"),
            ("sys/class/hwmon/hwmon1/temp1_label", "System, rear"),
            ("sys/class/hwmon/hwmon1/temp1_input", "31500"),
            ("sys/class/hwmon/hwmon1/fan1_input", "640"),
            ("sys/class/hwmon/hwmon1/fan2_label", "CPU fan"),
            ("sys/class/hwmon/hwmon1/fan2_input", "910"),
            ("sys/class/hwmon/hwmon1/fan3_label", "Pump"),
            ("sys/class/hwmon/hwmon1/fan3_input", "2700"),
            ("sys/class/powercap/zone:0/name", "package-0"),
            ("sys/class/powercap/zone:0/energy_uj", "262143000000"),
            ("sys/class/powercap/zone:0/max_energy_range_uj", "262143328850"),
            ("sys/class/powercap/zone:0/constraint_0_name", "long_term"),
            ("sys/class/powercap/zone:0/constraint_0_power_limit_uw", "65000000"),
            ("proc/stat", "cpu  100 0 100 800 0 0 0 0 0 0\n"),
            (
                "proc/pressure/io",
                "some avg10=0.00 avg60=0.00 avg300=0.00 total=1000\nfull avg10=0.00 total=1\n",
            ),
        ]
        .map(|(path, text)| (path.to_owned(), text.to_owned()))
        .to_vec();
        for cpu in 0..8 {
            let at = |file: &str| format!("sys/devices/system/cpu/cpu{cpu}/{file}");
            files.push((at("topology/core_id"), (cpu % 4).to_string()));
            files.push((at("topology/physical_package_id"), "0".to_owned()));
            files.push((at("cpufreq/scaling_cur_freq"), (3_000_000 + 1000 * cpu).to_string()));
            files.push((at("thermal_throttle/core_throttle_total_time_ms"), "0".to_owned()));
        }
        let files: Vec<(&str, &str)> =
            files.iter().map(|(path, text)| (path.as_str(), text.as_str())).collect();
        Self::new(&files)
    }

    /// Writes a file in place, as the kernel's change under an open file.
    pub(crate) fn set(&self, path: &str, text: &str) {
        let path = self.0.join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    pub(crate) fn root(&self) -> Root {
        Root::folder(&self.0).unwrap()
    }

    pub(crate) fn sampler(&self, choices: &[&str]) -> Sampler {
        let choices: Vec<Choice> = choices.iter().map(|text| text.parse().unwrap()).collect();
        Sampler::new(find(&self.root(), &choices))
    }

    pub(crate) fn folder(&self) -> &std::path::Path {
        &self.0
    }
}

impl Drop for Tree {
    fn drop(&mut self) {
        let _ = fs::remove_dir_all(&self.0);
    }
}
