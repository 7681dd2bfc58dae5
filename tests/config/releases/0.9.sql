BEGIN TRANSACTION;
CREATE TABLE "assets_fitting" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "fitted_on" date NOT NULL, "found_fitted" bool NOT NULL, "fitted_by" varchar(80) NOT NULL, "fitted_reason" varchar(200) NOT NULL, "taken_out_on" date NULL, "taken_out_by" varchar(80) NOT NULL, "taken_out_reason" varchar(200) NOT NULL, "lost_motion_fitting_id" bigint NULL REFERENCES "assets_lostmotionfitting" ("id") DEFERRABLE INITIALLY DEFERRED, "machine_id" bigint NULL REFERENCES "assets_machine" ("id") DEFERRABLE INITIALLY DEFERRED, "position_id" bigint NOT NULL REFERENCES "assets_position" ("id") DEFERRABLE INITIALLY DEFERRED, "stretcher_id" bigint NULL REFERENCES "assets_stretcher" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "fitting_has_one_part" CHECK ((("lost_motion_fitting_id" IS NULL AND "machine_id" IS NULL AND "stretcher_id" IS NOT NULL) OR ("lost_motion_fitting_id" IS NULL AND "machine_id" IS NOT NULL AND "stretcher_id" IS NULL) OR ("lost_motion_fitting_id" IS NOT NULL AND "machine_id" IS NULL AND "stretcher_id" IS NULL))), CONSTRAINT "fitting_ends_after_it_begins" CHECK (("taken_out_on" IS NULL OR "taken_out_on" >= ("fitted_on"))), CONSTRAINT "fitting_end_has_a_reason" CHECK (("taken_out_on" IS NULL OR NOT ("taken_out_reason" = ''))), CONSTRAINT "fitting_stretcher_once_a_day" UNIQUE ("stretcher_id", "position_id", "fitted_on"), CONSTRAINT "fitting_machine_once_a_day" UNIQUE ("machine_id", "position_id", "fitted_on"), CONSTRAINT "fitting_lost_motion_fitting_once_a_day" UNIQUE ("lost_motion_fitting_id", "position_id", "fitted_on"));
INSERT INTO "assets_fitting" VALUES(1,'2025-03-01',0,'Lineman A','',NULL,'','',NULL,NULL,1,1);
INSERT INTO "assets_fitting" VALUES(2,'2025-03-01',0,'Lineman A','',NULL,'','',NULL,NULL,2,2);
INSERT INTO "assets_fitting" VALUES(3,'2025-03-01',0,'Lineman A','',NULL,'','',NULL,NULL,3,3);
INSERT INTO "assets_fitting" VALUES(4,'2025-03-01',0,'Lineman A','','2025-04-01','Lineman A','Thread stripped.',NULL,NULL,4,4);
CREATE TABLE "assets_historicalfitting" ("id" bigint NOT NULL, "fitted_on" date NOT NULL, "found_fitted" bool NOT NULL, "fitted_by" varchar(80) NOT NULL, "fitted_reason" varchar(200) NOT NULL, "taken_out_on" date NULL, "taken_out_by" varchar(80) NOT NULL, "taken_out_reason" varchar(200) NOT NULL, "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, "lost_motion_fitting_id" bigint NULL, "machine_id" bigint NULL, "position_id" bigint NULL, "stretcher_id" bigint NULL);
INSERT INTO "assets_historicalfitting" VALUES(1,'2025-03-01',0,'Lineman A','',NULL,'','',1,'2026-11-25 10:33:00.062722',NULL,'+',NULL,NULL,NULL,1,1);
INSERT INTO "assets_historicalfitting" VALUES(2,'2025-03-01',0,'Lineman A','',NULL,'','',2,'2026-11-25 10:33:00.070533',NULL,'+',NULL,NULL,NULL,2,2);
INSERT INTO "assets_historicalfitting" VALUES(3,'2025-03-01',0,'Lineman A','',NULL,'','',3,'2026-11-25 10:33:00.077280',NULL,'+',NULL,NULL,NULL,3,3);
INSERT INTO "assets_historicalfitting" VALUES(4,'2025-03-01',0,'Lineman A','',NULL,'','',4,'2026-11-25 10:33:00.079838',NULL,'+',NULL,NULL,NULL,4,4);
INSERT INTO "assets_historicalfitting" VALUES(4,'2025-03-01',0,'Lineman A','','2025-04-01','Lineman A','Thread stripped.',5,'2026-11-25 10:33:00.108198',NULL,'~',NULL,NULL,NULL,4,4);
CREATE TABLE "assets_historicallocation" ("id" bigint NOT NULL, "code" varchar(10) NOT NULL, "name" varchar(80) NOT NULL, "mileage" real NULL, "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED);
INSERT INTO "assets_historicallocation" VALUES(1,'SKB','Skelbeck',0.0,1,'2026-11-25 10:33:00.031806',NULL,'+',NULL);
CREATE TABLE "assets_historicallostmotionfitting" ("id" bigint NOT NULL, "tag" varchar(20) NOT NULL, "origin" varchar(120) NOT NULL, "condition" varchar(24) NOT NULL, "quarantined" bool NOT NULL, "note" text NOT NULL, "kind" varchar(24) NOT NULL, "lost_motion_min_mm" real NULL, "lost_motion_max_mm" real NULL, "suits_plain" bool NOT NULL, "suits_thin" bool NOT NULL, "suits_raised_head" bool NOT NULL, "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED);
CREATE TABLE "assets_historicalmachine" ("id" bigint NOT NULL, "tag" varchar(20) NOT NULL, "origin" varchar(120) NOT NULL, "condition" varchar(24) NOT NULL, "quarantined" bool NOT NULL, "note" text NOT NULL, "kind" varchar(24) NOT NULL, "stroke_mm" real NULL, "unlocking_stroke_mm" real NULL, "internal_lost_motion_mm" real NULL, "lever_ratio" real NULL, "drive_insulated" bool NULL, "lock_rod_insulated" bool NULL, "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED);
CREATE TABLE "assets_historicalpoints" ("id" bigint NOT NULL, "number" varchar(10) NOT NULL, "layout" varchar(24) NOT NULL, "hand" varchar(24) NOT NULL, "gauge_mm" real NULL, "heel" varchar(24) NOT NULL, "heel_mm" real NULL, "use" varchar(24) NOT NULL, "track_circuited" bool NULL, "machine_side" varchar(24) NOT NULL, "normal_lie" varchar(24) NOT NULL, "service_state" varchar(24) NOT NULL, "inspection_interval_days" smallint unsigned NULL CHECK ("inspection_interval_days" >= 0), "note" text NOT NULL, "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, "location_id" bigint NULL, "rail_section_id" bigint NULL, "design_id" bigint NULL);
INSERT INTO "assets_historicalpoints" VALUES(1,'12','turnout','left',1435.0,'unknown',NULL,'facing',1,'left','left_closed','in_use',NULL,'',1,'2026-11-25 10:33:00.037494',NULL,'+',NULL,1,5,2);
CREATE TABLE "assets_historicalposition" ("id" bigint NOT NULL, "order" smallint unsigned NOT NULL CHECK ("order" >= 0), "role" varchar(24) NOT NULL, "distance_mm" real NULL, "space_ahead_mm" real NULL, "space_behind_mm" real NULL, "kicker_required" bool NULL, "driven" bool NULL, "separation_mm" real NULL, "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, "points_id" bigint NULL);
INSERT INTO "assets_historicalposition" VALUES(1,0,'lock',200.0,NULL,NULL,0,0,NULL,1,'2026-11-25 10:33:00.050834',NULL,'+',NULL,1);
INSERT INTO "assets_historicalposition" VALUES(2,1,'drive',1400.0,NULL,NULL,0,1,NULL,2,'2026-11-25 10:33:00.065520',NULL,'+',NULL,1);
INSERT INTO "assets_historicalposition" VALUES(3,2,'intermediate',2600.0,NULL,NULL,0,0,NULL,3,'2026-11-25 10:33:00.072258',NULL,'+',NULL,1);
INSERT INTO "assets_historicalposition" VALUES(4,3,'intermediate',3800.0,NULL,NULL,0,0,NULL,4,'2026-11-25 10:33:00.078131',NULL,'+',NULL,1);
CREATE TABLE "assets_historicalrailsection" ("id" bigint NOT NULL, "code" varchar(20) NOT NULL, "profile" varchar(24) NOT NULL, "mass_kg_m" real NULL, "height_mm" real NULL, "head_mm" real NULL, "foot_mm" real NULL, "web_mm" real NULL, "iyy_cm4" real NULL, "iyy_least_cm4" real NULL, "iyy_most_cm4" real NULL, "source" varchar(300) NOT NULL, "from_memory" bool NOT NULL, "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED);
INSERT INTO "assets_historicalrailsection" VALUES(1,'60E1','flat_bottom',60.21,172.0,72.0,150.0,16.5,512.3,NULL,NULL,'EN 13674-1, read in a steelmaker''s data sheet; lateral Iyy worked out again from the outline (512.0)',0,1,'2026-11-25 10:32:56.822880',NULL,'+',NULL);
INSERT INTO "assets_historicalrailsection" VALUES(2,'60E2','flat_bottom',60.03,172.0,72.0,150.0,16.5,510.5,NULL,NULL,'EN 13674-1, read in a secondary table',0,2,'2026-11-25 10:32:56.830294',NULL,'+',NULL);
INSERT INTO "assets_historicalrailsection" VALUES(3,'113A','flat_bottom',56.3,158.75,69.85,140.0,20.0,421.6,NULL,NULL,'EN 13674-1 (56E1, the same section), read in a secondary table',0,3,'2026-11-25 10:32:56.835178',NULL,'+',NULL);
INSERT INTO "assets_historicalrailsection" VALUES(4,'54E1','flat_bottom',54.77,159.0,70.0,140.0,16.0,419.2,NULL,NULL,'EN 13674-1, read in a secondary table',0,4,'2026-11-25 10:32:56.839737',NULL,'+',NULL);
INSERT INTO "assets_historicalrailsection" VALUES(5,'95RBH','bullhead',47.13,145.26,69.85,69.85,19.05,NULL,85.0,186.0,'dimensions from memory (BS 11:2015 figure 11 shows the section); mass nominal; lateral Iyy not published, bounds worked out from area and outline',1,5,'2026-11-25 10:32:56.846535',NULL,'+',NULL);
INSERT INTO "assets_historicalrailsection" VALUES(6,'85RBH','bullhead',42.17,138.91,68.26,68.26,17.46,NULL,67.0,157.0,'dimensions from memory; mass nominal; lateral Iyy not published, bounds worked out from area and outline',1,6,'2026-11-25 10:32:56.853529',NULL,'+',NULL);
INSERT INTO "assets_historicalrailsection" VALUES(7,'110A','flat_bottom',54.57,158.75,69.85,139.7,15.88,NULL,NULL,NULL,'dimensions from memory; mass nominal; lateral Iyy not found',1,7,'2026-11-25 10:32:56.858055',NULL,'+',NULL);
INSERT INTO "assets_historicalrailsection" VALUES(8,'109','flat_bottom',54.07,158.75,69.85,139.7,15.88,NULL,NULL,NULL,'dimensions from memory; mass nominal; lateral Iyy not found',1,8,'2026-11-25 10:32:56.931266',NULL,'+',NULL);
INSERT INTO "assets_historicalrailsection" VALUES(9,'98FB','flat_bottom',48.62,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'nominal mass by the convention of BS 11:1985 clause 4 note 2 (1 lb/yd = 0.49608 kg/m); dimensions not found',0,9,'2026-11-25 10:32:56.957671',NULL,'+',NULL);
CREATE TABLE "assets_historicalstretcher" ("id" bigint NOT NULL, "tag" varchar(20) NOT NULL, "origin" varchar(120) NOT NULL, "condition" varchar(24) NOT NULL, "quarantined" bool NOT NULL, "note" text NOT NULL, "for_lock" bool NOT NULL, "for_drive" bool NOT NULL, "for_intermediate" bool NOT NULL, "for_back" bool NOT NULL, "generation" varchar(24) NOT NULL, "adjustability" varchar(24) NOT NULL, "form" varchar(24) NOT NULL, "insulation_side" varchar(24) NOT NULL, "insulation_kind" varchar(24) NOT NULL, "left_shoe" varchar(24) NOT NULL, "left_shoe_colour" varchar(24) NOT NULL, "right_shoe" varchar(24) NOT NULL, "right_shoe_colour" varchar(24) NOT NULL, "kicker" bool NULL, "drive_lug" varchar(24) NOT NULL, "fixings" varchar(24) NOT NULL, "torque_nm" real NULL, "length_min_mm" real NULL, "length_max_mm" real NULL, "thread_pitch_mm" real NULL, "shim_left_mm" real NULL, "shim_right_mm" real NULL, "notches" varchar(24) NOT NULL, "notch_distance_mm" real NULL, "can_be_turned" bool NULL, "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, "gooseneck_towards" varchar(24) NOT NULL);
INSERT INTO "assets_historicalstretcher" VALUES(1,'ST-1-0','','good',0,'',1,1,1,1,'yellow','adjustable','straight','left','bush_and_plates','bullhead','orange','bullhead','orange',0,'plain','full_and_half_nut',220.0,1150.0,1350.0,4.0,NULL,NULL,'cut',NULL,1,1,'2026-11-25 10:33:00.049270',NULL,'+',NULL,'unknown');
INSERT INTO "assets_historicalstretcher" VALUES(2,'ST-1-1','','good',0,'',0,1,1,1,'yellow','adjustable','straight','left','bush_and_plates','bullhead','orange','bullhead','orange',0,'plain','full_and_half_nut',220.0,1150.0,1350.0,4.0,NULL,NULL,'not_a_lock',NULL,1,2,'2026-11-25 10:33:00.064688',NULL,'+',NULL,'unknown');
INSERT INTO "assets_historicalstretcher" VALUES(3,'ST-1-2','','good',0,'',0,1,1,1,'yellow','adjustable','straight','left','bush_and_plates','bullhead','orange','bullhead','orange',0,'plain','full_and_half_nut',220.0,1150.0,1350.0,4.0,NULL,NULL,'not_a_lock',NULL,1,3,'2026-11-25 10:33:00.071446',NULL,'+',NULL,'unknown');
INSERT INTO "assets_historicalstretcher" VALUES(4,'ST-099','','good',0,'',0,1,1,1,'yellow','adjustable','straight','left','bush_and_plates','bullhead','orange','bullhead','orange',0,'plain','full_and_half_nut',220.0,1150.0,1350.0,4.0,NULL,NULL,'not_a_lock',NULL,1,4,'2026-11-25 10:33:00.078921',NULL,'+',NULL,'unknown');
CREATE TABLE "assets_historicalswitchdesign" ("id" bigint NOT NULL, "code" varchar(30) NOT NULL, "name" varchar(100) NOT NULL, "shape" varchar(24) NOT NULL, "heel" varchar(24) NOT NULL, "heel_mm" real NULL, "heel_divergence_mm" real NULL, "slope" real NULL, "planing_mm" real NULL, "radius_mm" real NULL, "head_mm" real NULL, "least_stretchers" smallint unsigned NULL CHECK ("least_stretchers" >= 0), "source" varchar(300) NOT NULL, "from_memory" bool NOT NULL, "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED);
INSERT INTO "assets_historicalswitchdesign" VALUES(1,'A bullhead','A, semi-curved, 20 ft','semi_curved','held',6096.0,NULL,24.0,1676.4,146913.6,69.85,2,'s-scale.org.uk/turnout.htm, prototype data: 482 ft, 20 ft 0 in; planing 1 in 24 fits its seven leads; two stretchers: common practice, no source',0,1,'2026-11-25 10:32:56.989715',NULL,'+',NULL);
INSERT INTO "assets_historicalswitchdesign" VALUES(2,'B bullhead','B, semi-curved, 22 ft 6 in','semi_curved','held',6858.0,NULL,32.0,2235.2,186842.4,69.85,2,'s-scale.org.uk/turnout.htm, prototype data: 613 ft, 22 ft 6 in; planing 1 in 32 fits its one lead; two stretchers: common practice, no source',0,2,'2026-11-25 10:32:57.009060',NULL,'+',NULL);
INSERT INTO "assets_historicalswitchdesign" VALUES(3,'C bullhead','C, semi-curved, planed 1 in 40','semi_curved','held',NULL,NULL,40.0,2794.0,NULL,69.85,NULL,'slope from memory, radius and length not found: confirm on the ground, or enter measured offsets',1,3,'2026-11-25 10:32:57.043180',NULL,'+',NULL);
INSERT INTO "assets_historicalswitchdesign" VALUES(4,'D bullhead','D, semi-curved, planed 1 in 48','semi_curved','held',NULL,NULL,48.0,3352.8,NULL,69.85,NULL,'slope from memory, radius and length not found: confirm on the ground, or enter measured offsets',1,4,'2026-11-25 10:32:57.134416',NULL,'+',NULL);
INSERT INTO "assets_historicalswitchdesign" VALUES(5,'E bullhead','E, semi-curved, planed 1 in 56','semi_curved','held',NULL,NULL,56.0,3911.6,NULL,69.85,NULL,'slope from memory, radius and length not found: confirm on the ground, or enter measured offsets',1,5,'2026-11-25 10:32:57.163499',NULL,'+',NULL);
INSERT INTO "assets_historicalswitchdesign" VALUES(6,'F bullhead','F, semi-curved, planed 1 in 64','semi_curved','held',NULL,NULL,64.0,4470.4,NULL,69.85,NULL,'slope from memory, radius and length not found: confirm on the ground, or enter measured offsets',1,6,'2026-11-25 10:32:57.180424',NULL,'+',NULL);
INSERT INTO "assets_historicalswitchdesign" VALUES(7,'straight 9 ft','straight, loose heel, 1 in 24','straight','pivoted',2743.2,114.3,24.0,1676.4,NULL,69.85,2,'heel divergence 1 3/4 + 2 3/4 in: Gauge O Guild wiki, straight switches; slope is divergence over length; two stretchers: common practice, no source',0,7,'2026-11-25 10:32:57.206094',NULL,'+',NULL);
INSERT INTO "assets_historicalswitchdesign" VALUES(8,'straight 12 ft','straight, loose heel, 1 in 32','straight','pivoted',3657.6,114.3,32.0,2235.2,NULL,69.85,2,'heel divergence 1 3/4 + 2 3/4 in: Gauge O Guild wiki, straight switches; slope is divergence over length; two stretchers: common practice, no source',0,8,'2026-11-25 10:32:57.234963',NULL,'+',NULL);
INSERT INTO "assets_historicalswitchdesign" VALUES(9,'straight 15 ft','straight, loose heel, 1 in 40','straight','pivoted',4572.0,114.3,40.0,2794.0,NULL,69.85,2,'heel divergence 1 3/4 + 2 3/4 in: Gauge O Guild wiki, straight switches; slope is divergence over length; two stretchers: common practice, no source',0,9,'2026-11-25 10:32:57.255352',NULL,'+',NULL);
INSERT INTO "assets_historicalswitchdesign" VALUES(10,'straight 18 ft','straight, loose heel, 1 in 48','straight','pivoted',5486.4,114.3,48.0,3352.8,NULL,69.85,2,'heel divergence 1 3/4 + 2 3/4 in: Gauge O Guild wiki, straight switches; slope is divergence over length; two stretchers: common practice, no source',0,10,'2026-11-25 10:32:57.275954',NULL,'+',NULL);
CREATE TABLE "assets_historicalswitchoffset" ("id" bigint NOT NULL, "distance_mm" real NOT NULL, "offset_mm" real NOT NULL, "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, "points_id" bigint NULL);
CREATE TABLE "assets_historicalwheelstandard" ("id" bigint NOT NULL, "name" varchar(80) NOT NULL, "back_to_back_mm" real NOT NULL, "flange_mm" real NOT NULL, "front_to_front_mm" real NULL, "in_force" bool NOT NULL, "source" varchar(300) NOT NULL, "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED);
INSERT INTO "assets_historicalwheelstandard" VALUES(1,'wagons, wheels over 840 mm',1357.0,22.0,1410.0,0,'Regulation (EU) 321/2013, Annex, 4.2.3.6.2 table 3 and 4.2.3.6.3 table 4, gauge 1435; does not bind a heritage line',1,'2026-11-25 10:32:57.285902',NULL,'+',NULL);
INSERT INTO "assets_historicalwheelstandard" VALUES(2,'wagons, wheels 760 to 840 mm',1358.0,25.0,1412.0,0,'Regulation (EU) 321/2013, Annex, 4.2.3.6.2 table 3 and 4.2.3.6.3 table 4, gauge 1435; does not bind a heritage line',2,'2026-11-25 10:32:57.291977',NULL,'+',NULL);
INSERT INTO "assets_historicalwheelstandard" VALUES(3,'wagons, wheels 330 to 760 mm',1359.0,27.5,1415.0,0,'Regulation (EU) 321/2013, Annex, 4.2.3.6.2 table 3 and 4.2.3.6.3 table 4, gauge 1435; does not bind a heritage line',3,'2026-11-25 10:32:57.299444',NULL,'+',NULL);
CREATE TABLE "assets_location" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "code" varchar(10) NOT NULL UNIQUE, "name" varchar(80) NOT NULL, "mileage" real NULL, CONSTRAINT "location_mileage_range" CHECK (("mileage" IS NULL OR ("mileage" >= 0.0 AND "mileage" <= 1000.0))), CONSTRAINT "location_code_given" CHECK ((NOT ("code" = '') AND NOT ("code" LIKE '%/%' ESCAPE '\'))));
INSERT INTO "assets_location" VALUES(1,'SKB','Skelbeck',0.0);
CREATE TABLE "assets_lostmotionfitting" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "tag" varchar(20) NOT NULL UNIQUE, "origin" varchar(120) NOT NULL, "condition" varchar(24) NOT NULL, "quarantined" bool NOT NULL, "note" text NOT NULL, "kind" varchar(24) NOT NULL, "lost_motion_min_mm" real NULL, "lost_motion_max_mm" real NULL, "suits_plain" bool NOT NULL, "suits_thin" bool NOT NULL, "suits_raised_head" bool NOT NULL, CONSTRAINT "lost_motion_condition_word" CHECK ("condition" IN ('good', 'worn', 'repair', 'scrap', 'unknown')), CONSTRAINT "lost_motion_kind_word" CHECK ("kind" IN ('sleeve', 'slotted_bracket', 'unknown')), CONSTRAINT "lost_motion_lost_motion_min_mm_range" CHECK (("lost_motion_min_mm" IS NULL OR ("lost_motion_min_mm" >= 0.0 AND "lost_motion_min_mm" <= 500.0))), CONSTRAINT "lost_motion_lost_motion_max_mm_range" CHECK (("lost_motion_max_mm" IS NULL OR ("lost_motion_max_mm" >= 0.0 AND "lost_motion_max_mm" <= 500.0))), CONSTRAINT "lost_motion_lost_motion_min_mm_not_above_lost_motion_max_mm" CHECK (("lost_motion_min_mm" IS NULL OR "lost_motion_max_mm" IS NULL OR "lost_motion_min_mm" <= ("lost_motion_max_mm"))), CONSTRAINT "lost_motion_tag_given" CHECK ((NOT ("tag" = '') AND NOT ("tag" LIKE '%/%' ESCAPE '\'))));
CREATE TABLE "assets_machine" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "tag" varchar(20) NOT NULL UNIQUE, "origin" varchar(120) NOT NULL, "condition" varchar(24) NOT NULL, "quarantined" bool NOT NULL, "note" text NOT NULL, "kind" varchar(24) NOT NULL, "stroke_mm" real NULL, "unlocking_stroke_mm" real NULL, "internal_lost_motion_mm" real NULL, "lever_ratio" real NULL, "drive_insulated" bool NULL, "lock_rod_insulated" bool NULL, CONSTRAINT "machine_condition_word" CHECK ("condition" IN ('good', 'worn', 'repair', 'scrap', 'unknown')), CONSTRAINT "machine_kind_word" CHECK ("kind" IN ('motor', 'hand_lever', 'rodding', 'supplementary', 'unknown')), CONSTRAINT "machine_stroke_mm_range" CHECK (("stroke_mm" IS NULL OR ("stroke_mm" >= 0.0 AND "stroke_mm" <= 500.0))), CONSTRAINT "machine_unlocking_stroke_mm_range" CHECK (("unlocking_stroke_mm" IS NULL OR ("unlocking_stroke_mm" >= 0.0 AND "unlocking_stroke_mm" <= 500.0))), CONSTRAINT "machine_internal_lost_motion_mm_range" CHECK (("internal_lost_motion_mm" IS NULL OR ("internal_lost_motion_mm" >= 0.0 AND "internal_lost_motion_mm" <= 500.0))), CONSTRAINT "machine_lever_ratio_range" CHECK (("lever_ratio" IS NULL OR ("lever_ratio" >= 0.1 AND "lever_ratio" <= 10.0))), CONSTRAINT "machine_unlocking_stroke_mm_not_above_stroke_mm" CHECK (("unlocking_stroke_mm" IS NULL OR "stroke_mm" IS NULL OR "unlocking_stroke_mm" <= ("stroke_mm"))), CONSTRAINT "machine_internal_lost_motion_mm_not_above_stroke_mm" CHECK (("internal_lost_motion_mm" IS NULL OR "stroke_mm" IS NULL OR "internal_lost_motion_mm" <= ("stroke_mm"))), CONSTRAINT "machine_tag_given" CHECK ((NOT ("tag" = '') AND NOT ("tag" LIKE '%/%' ESCAPE '\'))));
CREATE TABLE "assets_matching" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "name" varchar(80) NOT NULL UNIQUE, "layout" text NOT NULL CHECK ((JSON_VALID("layout") OR "layout" IS NULL)), "made_by" varchar(80) NOT NULL, "made_at" datetime NOT NULL);
CREATE TABLE "assets_partphoto" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "lost_motion_fitting_id" bigint NULL REFERENCES "assets_lostmotionfitting" ("id") DEFERRABLE INITIALLY DEFERRED, "machine_id" bigint NULL REFERENCES "assets_machine" ("id") DEFERRABLE INITIALLY DEFERRED, "stretcher_id" bigint NULL REFERENCES "assets_stretcher" ("id") DEFERRABLE INITIALLY DEFERRED, "photo_id" bigint NOT NULL UNIQUE REFERENCES "assets_photo" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "part_photo_has_one_part" CHECK ((("lost_motion_fitting_id" IS NULL AND "machine_id" IS NULL AND "stretcher_id" IS NOT NULL) OR ("lost_motion_fitting_id" IS NULL AND "machine_id" IS NOT NULL AND "stretcher_id" IS NULL) OR ("lost_motion_fitting_id" IS NOT NULL AND "machine_id" IS NULL AND "stretcher_id" IS NULL))));
CREATE TABLE "assets_photo" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "key" char(32) NOT NULL UNIQUE, "picture" varchar(100) NOT NULL, "thumbnail" varchar(100) NOT NULL, "sha256" varchar(64) NOT NULL, "width" integer unsigned NOT NULL CHECK ("width" >= 0), "height" integer unsigned NOT NULL CHECK ("height" >= 0), "caption" varchar(200) NOT NULL, "taken_at" datetime NULL, "by" varchar(80) NOT NULL, "added_at" datetime NOT NULL, "added_by_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "photo_who_given" CHECK (NOT ("by" = '')));
CREATE TABLE "assets_points" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "number" varchar(10) NOT NULL, "number_order" integer unsigned NOT NULL CHECK ("number_order" >= 0), "layout" varchar(24) NOT NULL, "hand" varchar(24) NOT NULL, "gauge_mm" real NULL, "heel" varchar(24) NOT NULL, "heel_mm" real NULL, "use" varchar(24) NOT NULL, "track_circuited" bool NULL, "machine_side" varchar(24) NOT NULL, "normal_lie" varchar(24) NOT NULL, "service_state" varchar(24) NOT NULL, "inspection_interval_days" smallint unsigned NULL CHECK ("inspection_interval_days" >= 0), "note" text NOT NULL, "location_id" bigint NOT NULL REFERENCES "assets_location" ("id") DEFERRABLE INITIALLY DEFERRED, "rail_section_id" bigint NULL REFERENCES "assets_railsection" ("id") DEFERRABLE INITIALLY DEFERRED, "design_id" bigint NULL REFERENCES "assets_switchdesign" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "points_number_once_per_location" UNIQUE ("location_id", "number"), CONSTRAINT "points_layout_word" CHECK ("layout" IN ('turnout', 'single_slip', 'double_slip', 'switch_diamond', 'trap', 'catch', 'unknown')), CONSTRAINT "points_hand_word" CHECK ("hand" IN ('left', 'right', 'unknown')), CONSTRAINT "points_heel_word" CHECK ("heel" IN ('held', 'pivoted', 'unknown')), CONSTRAINT "points_use_word" CHECK ("use" IN ('facing', 'trailing', 'both', 'unknown')), CONSTRAINT "points_machine_side_word" CHECK ("machine_side" IN ('left', 'right', 'unknown')), CONSTRAINT "points_normal_lie_word" CHECK ("normal_lie" IN ('left_closed', 'right_closed', 'unknown')), CONSTRAINT "points_service_state_word" CHECK ("service_state" IN ('in_use', 'out_of_use', 'lifted')), CONSTRAINT "points_gauge_mm_range" CHECK (("gauge_mm" IS NULL OR ("gauge_mm" >= 300.0 AND "gauge_mm" <= 1700.0))), CONSTRAINT "points_heel_mm_range" CHECK (("heel_mm" IS NULL OR ("heel_mm" >= 1000.0 AND "heel_mm" <= 30000.0))), CONSTRAINT "points_interval_range" CHECK (("inspection_interval_days" IS NULL OR ("inspection_interval_days" >= 1 AND "inspection_interval_days" <= 1100))), CONSTRAINT "points_number_given" CHECK ((NOT ("number" = '') AND NOT ("number" LIKE '%/%' ESCAPE '\'))));
INSERT INTO "assets_points" VALUES(1,'12',12,'turnout','left',1435.0,'unknown',NULL,'facing',1,'left','left_closed','in_use',NULL,'',1,5,2);
CREATE TABLE "assets_position" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "order" smallint unsigned NOT NULL CHECK ("order" >= 0), "role" varchar(24) NOT NULL, "distance_mm" real NULL, "space_ahead_mm" real NULL, "space_behind_mm" real NULL, "kicker_required" bool NULL, "driven" bool NULL, "separation_mm" real NULL, "points_id" bigint NOT NULL REFERENCES "assets_points" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "position_order_once" UNIQUE ("points_id", "order"), CONSTRAINT "position_distance_once" UNIQUE ("points_id", "distance_mm"), CONSTRAINT "position_role_word" CHECK ("role" IN ('lock', 'drive', 'intermediate', 'back')), CONSTRAINT "position_lock_is_0" CHECK ((("order" = 0 AND "role" = 'lock') OR ("order" >= 1 AND "order" <= 8 AND NOT ("role" = 'lock')))), CONSTRAINT "position_distance_mm_range" CHECK (("distance_mm" IS NULL OR ("distance_mm" >= 0.0 AND "distance_mm" <= 30000.0))), CONSTRAINT "position_space_ahead_mm_range" CHECK (("space_ahead_mm" IS NULL OR ("space_ahead_mm" >= 0.0 AND "space_ahead_mm" <= 2000.0))), CONSTRAINT "position_space_behind_mm_range" CHECK (("space_behind_mm" IS NULL OR ("space_behind_mm" >= 0.0 AND "space_behind_mm" <= 2000.0))), CONSTRAINT "position_separation_mm_range" CHECK (("separation_mm" IS NULL OR ("separation_mm" >= 0.0 AND "separation_mm" <= 2000.0))));
INSERT INTO "assets_position" VALUES(1,0,'lock',200.0,NULL,NULL,0,0,NULL,1);
INSERT INTO "assets_position" VALUES(2,1,'drive',1400.0,NULL,NULL,0,1,NULL,1);
INSERT INTO "assets_position" VALUES(3,2,'intermediate',2600.0,NULL,NULL,0,0,NULL,1);
INSERT INTO "assets_position" VALUES(4,3,'intermediate',3800.0,NULL,NULL,0,0,NULL,1);
CREATE TABLE "assets_railsection" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "code" varchar(20) NOT NULL UNIQUE, "profile" varchar(24) NOT NULL, "mass_kg_m" real NULL, "height_mm" real NULL, "head_mm" real NULL, "foot_mm" real NULL, "web_mm" real NULL, "iyy_cm4" real NULL, "iyy_least_cm4" real NULL, "iyy_most_cm4" real NULL, "source" varchar(300) NOT NULL, "from_memory" bool NOT NULL, CONSTRAINT "rail_section_profile_word" CHECK ("profile" IN ('bullhead', 'flat_bottom', 'unknown')), CONSTRAINT "rail_section_mass_kg_m_range" CHECK (("mass_kg_m" IS NULL OR ("mass_kg_m" >= 0.0 AND "mass_kg_m" <= 100.0))), CONSTRAINT "rail_section_height_mm_range" CHECK (("height_mm" IS NULL OR ("height_mm" >= 0.0 AND "height_mm" <= 300.0))), CONSTRAINT "rail_section_head_mm_range" CHECK (("head_mm" IS NULL OR ("head_mm" >= 0.0 AND "head_mm" <= 200.0))), CONSTRAINT "rail_section_foot_mm_range" CHECK (("foot_mm" IS NULL OR ("foot_mm" >= 0.0 AND "foot_mm" <= 300.0))), CONSTRAINT "rail_section_web_mm_range" CHECK (("web_mm" IS NULL OR ("web_mm" >= 0.0 AND "web_mm" <= 100.0))), CONSTRAINT "rail_section_iyy_cm4_range" CHECK (("iyy_cm4" IS NULL OR ("iyy_cm4" >= 0.0 AND "iyy_cm4" <= 5000.0))), CONSTRAINT "rail_section_iyy_least_cm4_range" CHECK (("iyy_least_cm4" IS NULL OR ("iyy_least_cm4" >= 0.0 AND "iyy_least_cm4" <= 5000.0))), CONSTRAINT "rail_section_iyy_most_cm4_range" CHECK (("iyy_most_cm4" IS NULL OR ("iyy_most_cm4" >= 0.0 AND "iyy_most_cm4" <= 5000.0))), CONSTRAINT "rail_section_iyy_least_cm4_not_above_iyy_most_cm4" CHECK (("iyy_least_cm4" IS NULL OR "iyy_most_cm4" IS NULL OR "iyy_least_cm4" <= ("iyy_most_cm4"))));
INSERT INTO "assets_railsection" VALUES(1,'60E1','flat_bottom',60.21,172.0,72.0,150.0,16.5,512.3,NULL,NULL,'EN 13674-1, read in a steelmaker''s data sheet; lateral Iyy worked out again from the outline (512.0)',0);
INSERT INTO "assets_railsection" VALUES(2,'60E2','flat_bottom',60.03,172.0,72.0,150.0,16.5,510.5,NULL,NULL,'EN 13674-1, read in a secondary table',0);
INSERT INTO "assets_railsection" VALUES(3,'113A','flat_bottom',56.3,158.75,69.85,140.0,20.0,421.6,NULL,NULL,'EN 13674-1 (56E1, the same section), read in a secondary table',0);
INSERT INTO "assets_railsection" VALUES(4,'54E1','flat_bottom',54.77,159.0,70.0,140.0,16.0,419.2,NULL,NULL,'EN 13674-1, read in a secondary table',0);
INSERT INTO "assets_railsection" VALUES(5,'95RBH','bullhead',47.13,145.26,69.85,69.85,19.05,NULL,85.0,186.0,'dimensions from memory (BS 11:2015 figure 11 shows the section); mass nominal; lateral Iyy not published, bounds worked out from area and outline',1);
INSERT INTO "assets_railsection" VALUES(6,'85RBH','bullhead',42.17,138.91,68.26,68.26,17.46,NULL,67.0,157.0,'dimensions from memory; mass nominal; lateral Iyy not published, bounds worked out from area and outline',1);
INSERT INTO "assets_railsection" VALUES(7,'110A','flat_bottom',54.57,158.75,69.85,139.7,15.88,NULL,NULL,NULL,'dimensions from memory; mass nominal; lateral Iyy not found',1);
INSERT INTO "assets_railsection" VALUES(8,'109','flat_bottom',54.07,158.75,69.85,139.7,15.88,NULL,NULL,NULL,'dimensions from memory; mass nominal; lateral Iyy not found',1);
INSERT INTO "assets_railsection" VALUES(9,'98FB','flat_bottom',48.62,NULL,NULL,NULL,NULL,NULL,NULL,NULL,'nominal mass by the convention of BS 11:1985 clause 4 note 2 (1 lb/yd = 0.49608 kg/m); dimensions not found',0);
CREATE TABLE "assets_stretcher" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "tag" varchar(20) NOT NULL UNIQUE, "origin" varchar(120) NOT NULL, "condition" varchar(24) NOT NULL, "quarantined" bool NOT NULL, "note" text NOT NULL, "for_lock" bool NOT NULL, "for_drive" bool NOT NULL, "for_intermediate" bool NOT NULL, "for_back" bool NOT NULL, "generation" varchar(24) NOT NULL, "adjustability" varchar(24) NOT NULL, "form" varchar(24) NOT NULL, "insulation_side" varchar(24) NOT NULL, "insulation_kind" varchar(24) NOT NULL, "left_shoe" varchar(24) NOT NULL, "left_shoe_colour" varchar(24) NOT NULL, "right_shoe" varchar(24) NOT NULL, "right_shoe_colour" varchar(24) NOT NULL, "kicker" bool NULL, "drive_lug" varchar(24) NOT NULL, "fixings" varchar(24) NOT NULL, "torque_nm" real NULL, "length_min_mm" real NULL, "length_max_mm" real NULL, "thread_pitch_mm" real NULL, "shim_left_mm" real NULL, "shim_right_mm" real NULL, "notches" varchar(24) NOT NULL, "notch_distance_mm" real NULL, "can_be_turned" bool NULL, "gooseneck_towards" varchar(24) NOT NULL, CONSTRAINT "stretcher_condition_word" CHECK ("condition" IN ('good', 'worn', 'repair', 'scrap', 'unknown')), CONSTRAINT "stretcher_generation_word" CHECK ("generation" IN ('black', 'yellow', 'red', 'unknown')), CONSTRAINT "stretcher_adjustability_word" CHECK ("adjustability" IN ('fixed', 'adjustable', 'unknown')), CONSTRAINT "stretcher_form_word" CHECK ("form" IN ('straight', 'gooseneck', 'unknown')), CONSTRAINT "stretcher_insulation_side_word" CHECK ("insulation_side" IN ('left', 'right', 'both', 'none', 'unknown')), CONSTRAINT "stretcher_insulation_kind_word" CHECK ("insulation_kind" IN ('bush_and_plates', 'rubber_bush', 'none', 'unknown')), CONSTRAINT "stretcher_left_shoe_word" CHECK ("left_shoe" IN ('bullhead', 'flat_bottom', 'unknown')), CONSTRAINT "stretcher_right_shoe_word" CHECK ("right_shoe" IN ('bullhead', 'flat_bottom', 'unknown')), CONSTRAINT "stretcher_left_shoe_colour_word" CHECK ("left_shoe_colour" IN ('orange', 'yellow', 'none', 'unknown')), CONSTRAINT "stretcher_right_shoe_colour_word" CHECK ("right_shoe_colour" IN ('orange', 'yellow', 'none', 'unknown')), CONSTRAINT "stretcher_drive_lug_word" CHECK ("drive_lug" IN ('none', 'plain', 'thin', 'raised_head', 'unknown')), CONSTRAINT "stretcher_fixings_word" CHECK ("fixings" IN ('square_head', 'full_and_half_nut', 'captive_nut', 'unknown')), CONSTRAINT "stretcher_notches_word" CHECK ("notches" IN ('not_a_lock', 'uncut', 'cut', 'unknown')), CONSTRAINT "stretcher_torque_nm_range" CHECK (("torque_nm" IS NULL OR ("torque_nm" >= 0.0 AND "torque_nm" <= 2000.0))), CONSTRAINT "stretcher_length_min_mm_range" CHECK (("length_min_mm" IS NULL OR ("length_min_mm" >= 0.0 AND "length_min_mm" <= 2000.0))), CONSTRAINT "stretcher_length_max_mm_range" CHECK (("length_max_mm" IS NULL OR ("length_max_mm" >= 0.0 AND "length_max_mm" <= 2000.0))), CONSTRAINT "stretcher_thread_pitch_mm_range" CHECK (("thread_pitch_mm" IS NULL OR ("thread_pitch_mm" >= 0.0 AND "thread_pitch_mm" <= 20.0))), CONSTRAINT "stretcher_shim_left_mm_range" CHECK (("shim_left_mm" IS NULL OR ("shim_left_mm" >= 0.0 AND "shim_left_mm" <= 60.0))), CONSTRAINT "stretcher_shim_right_mm_range" CHECK (("shim_right_mm" IS NULL OR ("shim_right_mm" >= 0.0 AND "shim_right_mm" <= 60.0))), CONSTRAINT "stretcher_notch_distance_mm_range" CHECK (("notch_distance_mm" IS NULL OR ("notch_distance_mm" >= 0.0 AND "notch_distance_mm" <= 400.0))), CONSTRAINT "stretcher_length_min_mm_not_above_length_max_mm" CHECK (("length_min_mm" IS NULL OR "length_max_mm" IS NULL OR "length_min_mm" <= ("length_max_mm"))), CONSTRAINT "stretcher_bare_rod_has_no_insulation" CHECK ((NOT ("insulation_side" = 'none') OR "insulation_kind" IN ('none', 'unknown'))), CONSTRAINT "stretcher_insulated_rod_has_a_kind" CHECK (NOT ("insulation_kind" = 'none' AND "insulation_side" IN ('left', 'right', 'both'))), CONSTRAINT "stretcher_tag_given" CHECK ((NOT ("tag" = '') AND NOT ("tag" LIKE '%/%' ESCAPE '\'))), CONSTRAINT "stretcher_gooseneck_towards_word" CHECK ("gooseneck_towards" IN ('toe', 'heel', 'unknown')));
INSERT INTO "assets_stretcher" VALUES(1,'ST-1-0','','good',0,'',1,1,1,1,'yellow','adjustable','straight','left','bush_and_plates','bullhead','orange','bullhead','orange',0,'plain','full_and_half_nut',220.0,1150.0,1350.0,4.0,NULL,NULL,'cut',NULL,1,'unknown');
INSERT INTO "assets_stretcher" VALUES(2,'ST-1-1','','good',0,'',0,1,1,1,'yellow','adjustable','straight','left','bush_and_plates','bullhead','orange','bullhead','orange',0,'plain','full_and_half_nut',220.0,1150.0,1350.0,4.0,NULL,NULL,'not_a_lock',NULL,1,'unknown');
INSERT INTO "assets_stretcher" VALUES(3,'ST-1-2','','good',0,'',0,1,1,1,'yellow','adjustable','straight','left','bush_and_plates','bullhead','orange','bullhead','orange',0,'plain','full_and_half_nut',220.0,1150.0,1350.0,4.0,NULL,NULL,'not_a_lock',NULL,1,'unknown');
INSERT INTO "assets_stretcher" VALUES(4,'ST-099','','good',0,'',0,1,1,1,'yellow','adjustable','straight','left','bush_and_plates','bullhead','orange','bullhead','orange',0,'plain','full_and_half_nut',220.0,1150.0,1350.0,4.0,NULL,NULL,'not_a_lock',NULL,1,'unknown');
CREATE TABLE "assets_switchdesign" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "code" varchar(30) NOT NULL UNIQUE, "name" varchar(100) NOT NULL, "shape" varchar(24) NOT NULL, "heel" varchar(24) NOT NULL, "heel_mm" real NULL, "heel_divergence_mm" real NULL, "slope" real NULL, "planing_mm" real NULL, "radius_mm" real NULL, "head_mm" real NULL, "least_stretchers" smallint unsigned NULL CHECK ("least_stretchers" >= 0), "source" varchar(300) NOT NULL, "from_memory" bool NOT NULL, CONSTRAINT "switch_design_shape_word" CHECK ("shape" IN ('straight', 'semi_curved', 'curved', 'measured', 'unknown')), CONSTRAINT "switch_design_heel_word" CHECK ("heel" IN ('held', 'pivoted', 'unknown')), CONSTRAINT "switch_design_heel_mm_range" CHECK (("heel_mm" IS NULL OR ("heel_mm" >= 1000.0 AND "heel_mm" <= 30000.0))), CONSTRAINT "switch_design_heel_divergence_mm_range" CHECK (("heel_divergence_mm" IS NULL OR ("heel_divergence_mm" >= 0.0 AND "heel_divergence_mm" <= 1000.0))), CONSTRAINT "switch_design_slope_range" CHECK (("slope" IS NULL OR ("slope" >= 1.0 AND "slope" <= 500.0))), CONSTRAINT "switch_design_planing_mm_range" CHECK (("planing_mm" IS NULL OR ("planing_mm" >= 0.0 AND "planing_mm" <= 20000.0))), CONSTRAINT "switch_design_radius_mm_range" CHECK (("radius_mm" IS NULL OR ("radius_mm" >= 0.0 AND "radius_mm" <= 10000000.0))), CONSTRAINT "switch_design_head_mm_range" CHECK (("head_mm" IS NULL OR ("head_mm" >= 0.0 AND "head_mm" <= 200.0))), CONSTRAINT "switch_design_planing_mm_not_above_heel_mm" CHECK (("planing_mm" IS NULL OR "heel_mm" IS NULL OR "planing_mm" <= ("heel_mm"))), CONSTRAINT "switch_design_least_stretchers_range" CHECK (("least_stretchers" IS NULL OR ("least_stretchers" >= 1 AND "least_stretchers" <= 8))));
INSERT INTO "assets_switchdesign" VALUES(1,'A bullhead','A, semi-curved, 20 ft','semi_curved','held',6096.0,NULL,24.0,1676.4,146913.6,69.85,2,'s-scale.org.uk/turnout.htm, prototype data: 482 ft, 20 ft 0 in; planing 1 in 24 fits its seven leads; two stretchers: common practice, no source',0);
INSERT INTO "assets_switchdesign" VALUES(2,'B bullhead','B, semi-curved, 22 ft 6 in','semi_curved','held',6858.0,NULL,32.0,2235.2,186842.4,69.85,2,'s-scale.org.uk/turnout.htm, prototype data: 613 ft, 22 ft 6 in; planing 1 in 32 fits its one lead; two stretchers: common practice, no source',0);
INSERT INTO "assets_switchdesign" VALUES(3,'C bullhead','C, semi-curved, planed 1 in 40','semi_curved','held',NULL,NULL,40.0,2794.0,NULL,69.85,NULL,'slope from memory, radius and length not found: confirm on the ground, or enter measured offsets',1);
INSERT INTO "assets_switchdesign" VALUES(4,'D bullhead','D, semi-curved, planed 1 in 48','semi_curved','held',NULL,NULL,48.0,3352.8,NULL,69.85,NULL,'slope from memory, radius and length not found: confirm on the ground, or enter measured offsets',1);
INSERT INTO "assets_switchdesign" VALUES(5,'E bullhead','E, semi-curved, planed 1 in 56','semi_curved','held',NULL,NULL,56.0,3911.6,NULL,69.85,NULL,'slope from memory, radius and length not found: confirm on the ground, or enter measured offsets',1);
INSERT INTO "assets_switchdesign" VALUES(6,'F bullhead','F, semi-curved, planed 1 in 64','semi_curved','held',NULL,NULL,64.0,4470.4,NULL,69.85,NULL,'slope from memory, radius and length not found: confirm on the ground, or enter measured offsets',1);
INSERT INTO "assets_switchdesign" VALUES(7,'straight 9 ft','straight, loose heel, 1 in 24','straight','pivoted',2743.2,114.3,24.0,1676.4,NULL,69.85,2,'heel divergence 1 3/4 + 2 3/4 in: Gauge O Guild wiki, straight switches; slope is divergence over length; two stretchers: common practice, no source',0);
INSERT INTO "assets_switchdesign" VALUES(8,'straight 12 ft','straight, loose heel, 1 in 32','straight','pivoted',3657.6,114.3,32.0,2235.2,NULL,69.85,2,'heel divergence 1 3/4 + 2 3/4 in: Gauge O Guild wiki, straight switches; slope is divergence over length; two stretchers: common practice, no source',0);
INSERT INTO "assets_switchdesign" VALUES(9,'straight 15 ft','straight, loose heel, 1 in 40','straight','pivoted',4572.0,114.3,40.0,2794.0,NULL,69.85,2,'heel divergence 1 3/4 + 2 3/4 in: Gauge O Guild wiki, straight switches; slope is divergence over length; two stretchers: common practice, no source',0);
INSERT INTO "assets_switchdesign" VALUES(10,'straight 18 ft','straight, loose heel, 1 in 48','straight','pivoted',5486.4,114.3,48.0,3352.8,NULL,69.85,2,'heel divergence 1 3/4 + 2 3/4 in: Gauge O Guild wiki, straight switches; slope is divergence over length; two stretchers: common practice, no source',0);
CREATE TABLE "assets_switchoffset" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "distance_mm" real NOT NULL, "offset_mm" real NOT NULL, "points_id" bigint NOT NULL REFERENCES "assets_points" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "switch_offset_once" UNIQUE ("points_id", "distance_mm"), CONSTRAINT "switch_offset_distance_mm_range" CHECK (("distance_mm" IS NULL OR ("distance_mm" >= 0.0 AND "distance_mm" <= 30000.0))), CONSTRAINT "switch_offset_offset_mm_range" CHECK (("offset_mm" IS NULL OR ("offset_mm" >= 0.0 AND "offset_mm" <= 1000.0))));
CREATE TABLE "assets_wheelstandard" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "name" varchar(80) NOT NULL UNIQUE, "back_to_back_mm" real NOT NULL, "flange_mm" real NOT NULL, "front_to_front_mm" real NULL, "in_force" bool NOT NULL, "source" varchar(300) NOT NULL, CONSTRAINT "wheel_standard_back_to_back_mm_range" CHECK (("back_to_back_mm" IS NULL OR ("back_to_back_mm" >= 300.0 AND "back_to_back_mm" <= 1700.0))), CONSTRAINT "wheel_standard_flange_mm_range" CHECK (("flange_mm" IS NULL OR ("flange_mm" >= 1.0 AND "flange_mm" <= 60.0))), CONSTRAINT "wheel_standard_front_to_front_mm_range" CHECK (("front_to_front_mm" IS NULL OR ("front_to_front_mm" >= 300.0 AND "front_to_front_mm" <= 1800.0))));
INSERT INTO "assets_wheelstandard" VALUES(1,'wagons, wheels over 840 mm',1357.0,22.0,1410.0,0,'Regulation (EU) 321/2013, Annex, 4.2.3.6.2 table 3 and 4.2.3.6.3 table 4, gauge 1435; does not bind a heritage line');
INSERT INTO "assets_wheelstandard" VALUES(2,'wagons, wheels 760 to 840 mm',1358.0,25.0,1412.0,0,'Regulation (EU) 321/2013, Annex, 4.2.3.6.2 table 3 and 4.2.3.6.3 table 4, gauge 1435; does not bind a heritage line');
INSERT INTO "assets_wheelstandard" VALUES(3,'wagons, wheels 330 to 760 mm',1359.0,27.5,1415.0,0,'Regulation (EU) 321/2013, Annex, 4.2.3.6.2 table 3 and 4.2.3.6.3 table 4, gauge 1435; does not bind a heritage line');
CREATE TABLE "assets_withdrawal" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "at" datetime NOT NULL, "by" varchar(80) NOT NULL, "reason" varchar(200) NOT NULL, "photo_id" bigint NOT NULL UNIQUE REFERENCES "assets_photo" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "withdrawal_reason_given" CHECK (NOT ("reason" = '')));
CREATE TABLE "auth_group" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "name" varchar(150) NOT NULL UNIQUE);
INSERT INTO "auth_group" VALUES(1,'signalling');
INSERT INTO "auth_group" VALUES(2,'permanent way');
INSERT INTO "auth_group" VALUES(3,'responsible engineer');
INSERT INTO "auth_group" VALUES(4,'viewer');
CREATE TABLE "auth_group_permissions" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "group_id" integer NOT NULL REFERENCES "auth_group" ("id") DEFERRABLE INITIALLY DEFERRED, "permission_id" integer NOT NULL REFERENCES "auth_permission" ("id") DEFERRABLE INITIALLY DEFERRED);
CREATE TABLE "auth_permission" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "content_type_id" integer NOT NULL REFERENCES "django_content_type" ("id") DEFERRABLE INITIALLY DEFERRED, "codename" varchar(100) NOT NULL, "name" varchar(255) NOT NULL);
INSERT INTO "auth_permission" VALUES(1,1,'add_historicalroute','Can add historical route');
INSERT INTO "auth_permission" VALUES(2,1,'change_historicalroute','Can change historical route');
INSERT INTO "auth_permission" VALUES(3,1,'delete_historicalroute','Can delete historical route');
INSERT INTO "auth_permission" VALUES(4,1,'view_historicalroute','Can view historical route');
INSERT INTO "auth_permission" VALUES(5,2,'add_route','Can add route');
INSERT INTO "auth_permission" VALUES(6,2,'change_route','Can change route');
INSERT INTO "auth_permission" VALUES(7,2,'delete_route','Can delete route');
INSERT INTO "auth_permission" VALUES(8,2,'view_route','Can view route');
INSERT INTO "auth_permission" VALUES(9,3,'add_defect','Can add defect');
INSERT INTO "auth_permission" VALUES(10,3,'change_defect','Can change defect');
INSERT INTO "auth_permission" VALUES(11,3,'delete_defect','Can delete defect');
INSERT INTO "auth_permission" VALUES(12,3,'view_defect','Can view defect');
INSERT INTO "auth_permission" VALUES(13,4,'add_dismissal','Can add dismissal');
INSERT INTO "auth_permission" VALUES(14,4,'change_dismissal','Can change dismissal');
INSERT INTO "auth_permission" VALUES(15,4,'delete_dismissal','Can delete dismissal');
INSERT INTO "auth_permission" VALUES(16,4,'view_dismissal','Can view dismissal');
INSERT INTO "auth_permission" VALUES(17,5,'add_event','Can add event');
INSERT INTO "auth_permission" VALUES(18,5,'change_event','Can change event');
INSERT INTO "auth_permission" VALUES(19,5,'delete_event','Can delete event');
INSERT INTO "auth_permission" VALUES(20,5,'view_event','Can view event');
INSERT INTO "auth_permission" VALUES(21,6,'add_defectphoto','Can add defect photo');
INSERT INTO "auth_permission" VALUES(22,6,'change_defectphoto','Can change defect photo');
INSERT INTO "auth_permission" VALUES(23,6,'delete_defectphoto','Can delete defect photo');
INSERT INTO "auth_permission" VALUES(24,6,'view_defectphoto','Can view defect photo');
INSERT INTO "auth_permission" VALUES(25,7,'add_historicaldefect','Can add historical defect');
INSERT INTO "auth_permission" VALUES(26,7,'change_historicaldefect','Can change historical defect');
INSERT INTO "auth_permission" VALUES(27,7,'delete_historicaldefect','Can delete historical defect');
INSERT INTO "auth_permission" VALUES(28,7,'view_historicaldefect','Can view historical defect');
INSERT INTO "auth_permission" VALUES(29,8,'add_historicalinstrument','Can add historical instrument');
INSERT INTO "auth_permission" VALUES(30,8,'change_historicalinstrument','Can change historical instrument');
INSERT INTO "auth_permission" VALUES(31,8,'delete_historicalinstrument','Can delete historical instrument');
INSERT INTO "auth_permission" VALUES(32,8,'view_historicalinstrument','Can view historical instrument');
INSERT INTO "auth_permission" VALUES(33,9,'add_historicallimit','Can add historical limit');
INSERT INTO "auth_permission" VALUES(34,9,'change_historicallimit','Can change historical limit');
INSERT INTO "auth_permission" VALUES(35,9,'delete_historicallimit','Can delete historical limit');
INSERT INTO "auth_permission" VALUES(36,9,'view_historicallimit','Can view historical limit');
INSERT INTO "auth_permission" VALUES(37,10,'add_historicalseason','Can add historical season');
INSERT INTO "auth_permission" VALUES(38,10,'change_historicalseason','Can change historical season');
INSERT INTO "auth_permission" VALUES(39,10,'delete_historicalseason','Can delete historical season');
INSERT INTO "auth_permission" VALUES(40,10,'view_historicalseason','Can view historical season');
INSERT INTO "auth_permission" VALUES(41,11,'add_instrument','Can add instrument');
INSERT INTO "auth_permission" VALUES(42,11,'change_instrument','Can change instrument');
INSERT INTO "auth_permission" VALUES(43,11,'delete_instrument','Can delete instrument');
INSERT INTO "auth_permission" VALUES(44,11,'view_instrument','Can view instrument');
INSERT INTO "auth_permission" VALUES(45,12,'add_inspection','Can add inspection');
INSERT INTO "auth_permission" VALUES(46,12,'change_inspection','Can change inspection');
INSERT INTO "auth_permission" VALUES(47,12,'delete_inspection','Can delete inspection');
INSERT INTO "auth_permission" VALUES(48,12,'view_inspection','Can view inspection');
INSERT INTO "auth_permission" VALUES(49,13,'add_limit','Can add limit');
INSERT INTO "auth_permission" VALUES(50,13,'change_limit','Can change limit');
INSERT INTO "auth_permission" VALUES(51,13,'delete_limit','Can delete limit');
INSERT INTO "auth_permission" VALUES(52,13,'view_limit','Can view limit');
INSERT INTO "auth_permission" VALUES(53,14,'add_reading','Can add reading');
INSERT INTO "auth_permission" VALUES(54,14,'change_reading','Can change reading');
INSERT INTO "auth_permission" VALUES(55,14,'delete_reading','Can delete reading');
INSERT INTO "auth_permission" VALUES(56,14,'view_reading','Can view reading');
INSERT INTO "auth_permission" VALUES(57,15,'add_season','Can add season');
INSERT INTO "auth_permission" VALUES(58,15,'change_season','Can change season');
INSERT INTO "auth_permission" VALUES(59,15,'delete_season','Can delete season');
INSERT INTO "auth_permission" VALUES(60,15,'view_season','Can view season');
INSERT INTO "auth_permission" VALUES(61,16,'add_examination','Can add examination');
INSERT INTO "auth_permission" VALUES(62,16,'change_examination','Can change examination');
INSERT INTO "auth_permission" VALUES(63,16,'delete_examination','Can delete examination');
INSERT INTO "auth_permission" VALUES(64,16,'view_examination','Can view examination');
INSERT INTO "auth_permission" VALUES(65,17,'add_examinationphoto','Can add examination photo');
INSERT INTO "auth_permission" VALUES(66,17,'change_examinationphoto','Can change examination photo');
INSERT INTO "auth_permission" VALUES(67,17,'delete_examinationphoto','Can delete examination photo');
INSERT INTO "auth_permission" VALUES(68,17,'view_examinationphoto','Can view examination photo');
INSERT INTO "auth_permission" VALUES(69,18,'add_difference','Can add difference');
INSERT INTO "auth_permission" VALUES(70,18,'change_difference','Can change difference');
INSERT INTO "auth_permission" VALUES(71,18,'delete_difference','Can delete difference');
INSERT INTO "auth_permission" VALUES(72,18,'view_difference','Can view difference');
INSERT INTO "auth_permission" VALUES(73,19,'add_outlook','Can add outlook');
INSERT INTO "auth_permission" VALUES(74,19,'change_outlook','Can change outlook');
INSERT INTO "auth_permission" VALUES(75,19,'delete_outlook','Can delete outlook');
INSERT INTO "auth_permission" VALUES(76,19,'view_outlook','Can view outlook');
INSERT INTO "auth_permission" VALUES(77,20,'add_reaching','Can add reaching');
INSERT INTO "auth_permission" VALUES(78,20,'change_reaching','Can change reaching');
INSERT INTO "auth_permission" VALUES(79,20,'delete_reaching','Can delete reaching');
INSERT INTO "auth_permission" VALUES(80,20,'view_reaching','Can view reaching');
INSERT INTO "auth_permission" VALUES(81,21,'add_historicallocation','Can add historical location');
INSERT INTO "auth_permission" VALUES(82,21,'change_historicallocation','Can change historical location');
INSERT INTO "auth_permission" VALUES(83,21,'delete_historicallocation','Can delete historical location');
INSERT INTO "auth_permission" VALUES(84,21,'view_historicallocation','Can view historical location');
INSERT INTO "auth_permission" VALUES(85,22,'add_historicallostmotionfitting','Can add historical lost-motion fitting');
INSERT INTO "auth_permission" VALUES(86,22,'change_historicallostmotionfitting','Can change historical lost-motion fitting');
INSERT INTO "auth_permission" VALUES(87,22,'delete_historicallostmotionfitting','Can delete historical lost-motion fitting');
INSERT INTO "auth_permission" VALUES(88,22,'view_historicallostmotionfitting','Can view historical lost-motion fitting');
INSERT INTO "auth_permission" VALUES(89,23,'add_historicalmachine','Can add historical machine');
INSERT INTO "auth_permission" VALUES(90,23,'change_historicalmachine','Can change historical machine');
INSERT INTO "auth_permission" VALUES(91,23,'delete_historicalmachine','Can delete historical machine');
INSERT INTO "auth_permission" VALUES(92,23,'view_historicalmachine','Can view historical machine');
INSERT INTO "auth_permission" VALUES(93,24,'add_historicalrailsection','Can add historical rail section');
INSERT INTO "auth_permission" VALUES(94,24,'change_historicalrailsection','Can change historical rail section');
INSERT INTO "auth_permission" VALUES(95,24,'delete_historicalrailsection','Can delete historical rail section');
INSERT INTO "auth_permission" VALUES(96,24,'view_historicalrailsection','Can view historical rail section');
INSERT INTO "auth_permission" VALUES(97,25,'add_historicalstretcher','Can add historical stretcher');
INSERT INTO "auth_permission" VALUES(98,25,'change_historicalstretcher','Can change historical stretcher');
INSERT INTO "auth_permission" VALUES(99,25,'delete_historicalstretcher','Can delete historical stretcher');
INSERT INTO "auth_permission" VALUES(100,25,'view_historicalstretcher','Can view historical stretcher');
INSERT INTO "auth_permission" VALUES(101,26,'add_historicalswitchdesign','Can add historical switch design');
INSERT INTO "auth_permission" VALUES(102,26,'change_historicalswitchdesign','Can change historical switch design');
INSERT INTO "auth_permission" VALUES(103,26,'delete_historicalswitchdesign','Can delete historical switch design');
INSERT INTO "auth_permission" VALUES(104,26,'view_historicalswitchdesign','Can view historical switch design');
INSERT INTO "auth_permission" VALUES(105,27,'add_location','Can add location');
INSERT INTO "auth_permission" VALUES(106,27,'change_location','Can change location');
INSERT INTO "auth_permission" VALUES(107,27,'delete_location','Can delete location');
INSERT INTO "auth_permission" VALUES(108,27,'view_location','Can view location');
INSERT INTO "auth_permission" VALUES(109,28,'add_lostmotionfitting','Can add lost-motion fitting');
INSERT INTO "auth_permission" VALUES(110,28,'change_lostmotionfitting','Can change lost-motion fitting');
INSERT INTO "auth_permission" VALUES(111,28,'delete_lostmotionfitting','Can delete lost-motion fitting');
INSERT INTO "auth_permission" VALUES(112,28,'view_lostmotionfitting','Can view lost-motion fitting');
INSERT INTO "auth_permission" VALUES(113,29,'add_machine','Can add machine');
INSERT INTO "auth_permission" VALUES(114,29,'change_machine','Can change machine');
INSERT INTO "auth_permission" VALUES(115,29,'delete_machine','Can delete machine');
INSERT INTO "auth_permission" VALUES(116,29,'view_machine','Can view machine');
INSERT INTO "auth_permission" VALUES(117,30,'add_points','Can add points');
INSERT INTO "auth_permission" VALUES(118,30,'change_points','Can change points');
INSERT INTO "auth_permission" VALUES(119,30,'delete_points','Can delete points');
INSERT INTO "auth_permission" VALUES(120,30,'view_points','Can view points');
INSERT INTO "auth_permission" VALUES(121,31,'add_historicalswitchoffset','Can add historical switch offset');
INSERT INTO "auth_permission" VALUES(122,31,'change_historicalswitchoffset','Can change historical switch offset');
INSERT INTO "auth_permission" VALUES(123,31,'delete_historicalswitchoffset','Can delete historical switch offset');
INSERT INTO "auth_permission" VALUES(124,31,'view_historicalswitchoffset','Can view historical switch offset');
INSERT INTO "auth_permission" VALUES(125,32,'add_historicalposition','Can add historical position');
INSERT INTO "auth_permission" VALUES(126,32,'change_historicalposition','Can change historical position');
INSERT INTO "auth_permission" VALUES(127,32,'delete_historicalposition','Can delete historical position');
INSERT INTO "auth_permission" VALUES(128,32,'view_historicalposition','Can view historical position');
INSERT INTO "auth_permission" VALUES(129,33,'add_position','Can add position');
INSERT INTO "auth_permission" VALUES(130,33,'change_position','Can change position');
INSERT INTO "auth_permission" VALUES(131,33,'delete_position','Can delete position');
INSERT INTO "auth_permission" VALUES(132,33,'view_position','Can view position');
INSERT INTO "auth_permission" VALUES(133,34,'add_railsection','Can add rail section');
INSERT INTO "auth_permission" VALUES(134,34,'change_railsection','Can change rail section');
INSERT INTO "auth_permission" VALUES(135,34,'delete_railsection','Can delete rail section');
INSERT INTO "auth_permission" VALUES(136,34,'view_railsection','Can view rail section');
INSERT INTO "auth_permission" VALUES(137,35,'add_stretcher','Can add stretcher');
INSERT INTO "auth_permission" VALUES(138,35,'change_stretcher','Can change stretcher');
INSERT INTO "auth_permission" VALUES(139,35,'delete_stretcher','Can delete stretcher');
INSERT INTO "auth_permission" VALUES(140,35,'view_stretcher','Can view stretcher');
INSERT INTO "auth_permission" VALUES(141,36,'add_historicalfitting','Can add historical fitting');
INSERT INTO "auth_permission" VALUES(142,36,'change_historicalfitting','Can change historical fitting');
INSERT INTO "auth_permission" VALUES(143,36,'delete_historicalfitting','Can delete historical fitting');
INSERT INTO "auth_permission" VALUES(144,36,'view_historicalfitting','Can view historical fitting');
INSERT INTO "auth_permission" VALUES(145,37,'add_fitting','Can add fitting');
INSERT INTO "auth_permission" VALUES(146,37,'change_fitting','Can change fitting');
INSERT INTO "auth_permission" VALUES(147,37,'delete_fitting','Can delete fitting');
INSERT INTO "auth_permission" VALUES(148,37,'view_fitting','Can view fitting');
INSERT INTO "auth_permission" VALUES(149,38,'add_switchdesign','Can add switch design');
INSERT INTO "auth_permission" VALUES(150,38,'change_switchdesign','Can change switch design');
INSERT INTO "auth_permission" VALUES(151,38,'delete_switchdesign','Can delete switch design');
INSERT INTO "auth_permission" VALUES(152,38,'view_switchdesign','Can view switch design');
INSERT INTO "auth_permission" VALUES(153,39,'add_historicalpoints','Can add historical points');
INSERT INTO "auth_permission" VALUES(154,39,'change_historicalpoints','Can change historical points');
INSERT INTO "auth_permission" VALUES(155,39,'delete_historicalpoints','Can delete historical points');
INSERT INTO "auth_permission" VALUES(156,39,'view_historicalpoints','Can view historical points');
INSERT INTO "auth_permission" VALUES(157,40,'add_switchoffset','Can add switch offset');
INSERT INTO "auth_permission" VALUES(158,40,'change_switchoffset','Can change switch offset');
INSERT INTO "auth_permission" VALUES(159,40,'delete_switchoffset','Can delete switch offset');
INSERT INTO "auth_permission" VALUES(160,40,'view_switchoffset','Can view switch offset');
INSERT INTO "auth_permission" VALUES(161,41,'add_historicalwheelstandard','Can add historical wheel standard');
INSERT INTO "auth_permission" VALUES(162,41,'change_historicalwheelstandard','Can change historical wheel standard');
INSERT INTO "auth_permission" VALUES(163,41,'delete_historicalwheelstandard','Can delete historical wheel standard');
INSERT INTO "auth_permission" VALUES(164,41,'view_historicalwheelstandard','Can view historical wheel standard');
INSERT INTO "auth_permission" VALUES(165,42,'add_wheelstandard','Can add wheel standard');
INSERT INTO "auth_permission" VALUES(166,42,'change_wheelstandard','Can change wheel standard');
INSERT INTO "auth_permission" VALUES(167,42,'delete_wheelstandard','Can delete wheel standard');
INSERT INTO "auth_permission" VALUES(168,42,'view_wheelstandard','Can view wheel standard');
INSERT INTO "auth_permission" VALUES(169,43,'add_photo','Can add photograph');
INSERT INTO "auth_permission" VALUES(170,43,'change_photo','Can change photograph');
INSERT INTO "auth_permission" VALUES(171,43,'delete_photo','Can delete photograph');
INSERT INTO "auth_permission" VALUES(172,43,'view_photo','Can view photograph');
INSERT INTO "auth_permission" VALUES(173,44,'add_partphoto','Can add part photo');
INSERT INTO "auth_permission" VALUES(174,44,'change_partphoto','Can change part photo');
INSERT INTO "auth_permission" VALUES(175,44,'delete_partphoto','Can delete part photo');
INSERT INTO "auth_permission" VALUES(176,44,'view_partphoto','Can view part photo');
INSERT INTO "auth_permission" VALUES(177,45,'add_withdrawal','Can add withdrawal');
INSERT INTO "auth_permission" VALUES(178,45,'change_withdrawal','Can change withdrawal');
INSERT INTO "auth_permission" VALUES(179,45,'delete_withdrawal','Can delete withdrawal');
INSERT INTO "auth_permission" VALUES(180,45,'view_withdrawal','Can view withdrawal');
INSERT INTO "auth_permission" VALUES(181,46,'add_matching','Can add matching');
INSERT INTO "auth_permission" VALUES(182,46,'change_matching','Can change matching');
INSERT INTO "auth_permission" VALUES(183,46,'delete_matching','Can delete matching');
INSERT INTO "auth_permission" VALUES(184,46,'view_matching','Can view matching');
INSERT INTO "auth_permission" VALUES(185,47,'add_logentry','Can add log entry');
INSERT INTO "auth_permission" VALUES(186,47,'change_logentry','Can change log entry');
INSERT INTO "auth_permission" VALUES(187,47,'delete_logentry','Can delete log entry');
INSERT INTO "auth_permission" VALUES(188,47,'view_logentry','Can view log entry');
INSERT INTO "auth_permission" VALUES(189,48,'add_permission','Can add permission');
INSERT INTO "auth_permission" VALUES(190,48,'change_permission','Can change permission');
INSERT INTO "auth_permission" VALUES(191,48,'delete_permission','Can delete permission');
INSERT INTO "auth_permission" VALUES(192,48,'view_permission','Can view permission');
INSERT INTO "auth_permission" VALUES(193,49,'add_group','Can add group');
INSERT INTO "auth_permission" VALUES(194,49,'change_group','Can change group');
INSERT INTO "auth_permission" VALUES(195,49,'delete_group','Can delete group');
INSERT INTO "auth_permission" VALUES(196,49,'view_group','Can view group');
INSERT INTO "auth_permission" VALUES(197,50,'add_user','Can add user');
INSERT INTO "auth_permission" VALUES(198,50,'change_user','Can change user');
INSERT INTO "auth_permission" VALUES(199,50,'delete_user','Can delete user');
INSERT INTO "auth_permission" VALUES(200,50,'view_user','Can view user');
INSERT INTO "auth_permission" VALUES(201,51,'add_contenttype','Can add content type');
INSERT INTO "auth_permission" VALUES(202,51,'change_contenttype','Can change content type');
INSERT INTO "auth_permission" VALUES(203,51,'delete_contenttype','Can delete content type');
INSERT INTO "auth_permission" VALUES(204,51,'view_contenttype','Can view content type');
INSERT INTO "auth_permission" VALUES(205,52,'add_session','Can add session');
INSERT INTO "auth_permission" VALUES(206,52,'change_session','Can change session');
INSERT INTO "auth_permission" VALUES(207,52,'delete_session','Can delete session');
INSERT INTO "auth_permission" VALUES(208,52,'view_session','Can view session');
INSERT INTO "auth_permission" VALUES(209,53,'add_accessattempt','Can add access attempt');
INSERT INTO "auth_permission" VALUES(210,53,'change_accessattempt','Can change access attempt');
INSERT INTO "auth_permission" VALUES(211,53,'delete_accessattempt','Can delete access attempt');
INSERT INTO "auth_permission" VALUES(212,53,'view_accessattempt','Can view access attempt');
INSERT INTO "auth_permission" VALUES(213,54,'add_accesslog','Can add access log');
INSERT INTO "auth_permission" VALUES(214,54,'change_accesslog','Can change access log');
INSERT INTO "auth_permission" VALUES(215,54,'delete_accesslog','Can delete access log');
INSERT INTO "auth_permission" VALUES(216,54,'view_accesslog','Can view access log');
INSERT INTO "auth_permission" VALUES(217,55,'add_accessfailurelog','Can add access failure');
INSERT INTO "auth_permission" VALUES(218,55,'change_accessfailurelog','Can change access failure');
INSERT INTO "auth_permission" VALUES(219,55,'delete_accessfailurelog','Can delete access failure');
INSERT INTO "auth_permission" VALUES(220,55,'view_accessfailurelog','Can view access failure');
INSERT INTO "auth_permission" VALUES(221,56,'add_accessattemptexpiration','Can add access attempt expiration');
INSERT INTO "auth_permission" VALUES(222,56,'change_accessattemptexpiration','Can change access attempt expiration');
INSERT INTO "auth_permission" VALUES(223,56,'delete_accessattemptexpiration','Can delete access attempt expiration');
INSERT INTO "auth_permission" VALUES(224,56,'view_accessattemptexpiration','Can view access attempt expiration');
CREATE TABLE "auth_user" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "password" varchar(128) NOT NULL, "last_login" datetime NULL, "is_superuser" bool NOT NULL, "username" varchar(150) NOT NULL UNIQUE, "last_name" varchar(150) NOT NULL, "email" varchar(254) NOT NULL, "is_staff" bool NOT NULL, "is_active" bool NOT NULL, "date_joined" datetime NOT NULL, "first_name" varchar(150) NOT NULL);
INSERT INTO "auth_user" VALUES(1,'!',NULL,0,'technician','','',0,1,'2026-11-25 10:32:58.904965','Lineman A');
INSERT INTO "auth_user" VALUES(2,'!','2026-11-25 10:33:01.443402',0,'engineer','','',0,1,'2026-11-25 10:32:59.472565','Engineer C');
CREATE TABLE "auth_user_groups" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "user_id" integer NOT NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, "group_id" integer NOT NULL REFERENCES "auth_group" ("id") DEFERRABLE INITIALLY DEFERRED);
INSERT INTO "auth_user_groups" VALUES(1,1,1);
INSERT INTO "auth_user_groups" VALUES(2,2,3);
CREATE TABLE "auth_user_user_permissions" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "user_id" integer NOT NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, "permission_id" integer NOT NULL REFERENCES "auth_permission" ("id") DEFERRABLE INITIALLY DEFERRED);
CREATE TABLE "axes_accessattempt" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "user_agent" varchar(255) NOT NULL, "ip_address" char(39) NULL, "username" varchar(255) NULL, "http_accept" varchar(1025) NOT NULL, "path_info" varchar(255) NOT NULL, "attempt_time" datetime NOT NULL, "get_data" text NOT NULL, "post_data" text NOT NULL, "failures_since_start" integer unsigned NOT NULL CHECK ("failures_since_start" >= 0));
CREATE TABLE "axes_accessattemptexpiration" ("access_attempt_id" integer NOT NULL PRIMARY KEY REFERENCES "axes_accessattempt" ("id") DEFERRABLE INITIALLY DEFERRED, "expires_at" datetime NOT NULL);
CREATE TABLE "axes_accessfailurelog" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "user_agent" varchar(255) NOT NULL, "ip_address" char(39) NULL, "username" varchar(255) NULL, "http_accept" varchar(1025) NOT NULL, "path_info" varchar(255) NOT NULL, "attempt_time" datetime NOT NULL, "locked_out" bool NOT NULL);
CREATE TABLE "axes_accesslog" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "user_agent" varchar(255) NOT NULL, "ip_address" char(39) NULL, "username" varchar(255) NULL, "http_accept" varchar(1025) NOT NULL, "path_info" varchar(255) NOT NULL, "attempt_time" datetime NOT NULL, "logout_time" datetime NULL, "session_hash" varchar(64) NOT NULL);
INSERT INTO "axes_accesslog" VALUES(1,'<unknown>',NULL,'engineer','<unknown>','<unknown>','2026-11-25 10:33:01.443189',NULL,'efd90f1760219e4a53ace2fd543067f9f7379f042ff089f42c5b77cad1923511');
CREATE TABLE "defects_defect" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "number" integer unsigned NOT NULL UNIQUE CHECK ("number" >= 0), "title" varchar(160) NOT NULL, "description" text NOT NULL, "remedy" varchar(300) NOT NULL, "urgency" varchar(24) NOT NULL, "state" varchar(24) NOT NULL, "owner" varchar(24) NOT NULL, "mends" varchar(24) NOT NULL, "checks" varchar(24) NOT NULL, "raised_at" datetime NOT NULL, "raised_by" varchar(80) NOT NULL, "due_on" date NULL, "work_done_at" datetime NULL, "closed_at" datetime NULL, "temporary_measure" varchar(24) NOT NULL, "needs_cause" bool NOT NULL, "cause" varchar(300) NOT NULL, "version" integer unsigned NOT NULL CHECK ("version" >= 0), "examination_id" bigint NULL REFERENCES "inspections_examination" ("id") DEFERRABLE INITIALLY DEFERRED, "lost_motion_fitting_id" bigint NULL REFERENCES "assets_lostmotionfitting" ("id") DEFERRABLE INITIALLY DEFERRED, "machine_id" bigint NULL REFERENCES "assets_machine" ("id") DEFERRABLE INITIALLY DEFERRED, "points_id" bigint NOT NULL REFERENCES "assets_points" ("id") DEFERRABLE INITIALLY DEFERRED, "position_id" bigint NULL REFERENCES "assets_position" ("id") DEFERRABLE INITIALLY DEFERRED, "reading_id" bigint NULL REFERENCES "inspections_reading" ("id") DEFERRABLE INITIALLY DEFERRED, "stretcher_id" bigint NULL REFERENCES "assets_stretcher" ("id") DEFERRABLE INITIALLY DEFERRED, "route_id" bigint NULL REFERENCES "defects_route" ("id") DEFERRABLE INITIALLY DEFERRED, "found" varchar(60) NOT NULL, "caused_by_id" bigint NULL REFERENCES "defects_defect" ("id") DEFERRABLE INITIALLY DEFERRED, "repeat_of_id" bigint NULL REFERENCES "defects_defect" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "defect_urgency_word" CHECK ("urgency" IN ('at_once', 'urgent', 'planned', 'when_there')), CONSTRAINT "defect_state_word" CHECK ("state" IN ('raised', 'accepted', 'work_done', 'closed', 'in_error')), CONSTRAINT "defect_owner_word" CHECK ("owner" IN ('signalling', 'permanent_way')), CONSTRAINT "defect_mends_word" CHECK ("mends" IN ('signalling', 'permanent_way')), CONSTRAINT "defect_checks_word" CHECK ("checks" IN ('signalling', 'permanent_way')), CONSTRAINT "defect_temporary_measure_word" CHECK ("temporary_measure" IN ('none', 'secured', 'speed', 'hand_signalled', 'clipped', 'other')), CONSTRAINT "defect_has_at_most_one_part" CHECK ((("machine_id" IS NULL AND "stretcher_id" IS NULL) OR ("lost_motion_fitting_id" IS NULL AND "stretcher_id" IS NULL) OR ("lost_motion_fitting_id" IS NULL AND "machine_id" IS NULL))), CONSTRAINT "defect_closed_has_a_time" CHECK ((("closed_at" IS NOT NULL AND "state" = 'closed') OR (NOT ("state" = 'closed') AND "closed_at" IS NULL))), CONSTRAINT "defect_closed_has_its_cause" CHECK ((NOT ("state" = 'closed') OR NOT "needs_cause" OR NOT ("cause" = ''))), CONSTRAINT "defect_not_a_repeat_of_itself" CHECK (("repeat_of_id" IS NULL OR NOT ("repeat_of_id" = ("id") AND "repeat_of_id" IS NOT NULL))), CONSTRAINT "defect_title_given" CHECK (NOT ("title" = '')));
INSERT INTO "defects_defect" VALUES(1,1,'Loose fixing','','Reset the back stretcher; look for cracks at gooseneck and shoe.','urgent','closed','signalling','signalling','signalling','2026-05-04 12:00:00','Lineman A','2026-05-11','2026-05-06 12:00:00','2026-05-08 12:00:00','none',0,'',4,NULL,NULL,NULL,1,2,1,NULL,3,'fwc.below',NULL,NULL);
INSERT INTO "defects_defect" VALUES(2,2,'Timber fouls the rod','No routing row was found for this finding, so it goes to signalling: say who mends it.','','planned','raised','signalling','signalling','signalling','2026-05-08 12:00:00','Lineman A','2026-06-05',NULL,NULL,'none',0,'',1,NULL,NULL,NULL,1,NULL,NULL,NULL,NULL,'',NULL,NULL);
CREATE TABLE "defects_defectphoto" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "defect_id" bigint NOT NULL REFERENCES "defects_defect" ("id") DEFERRABLE INITIALLY DEFERRED, "photo_id" bigint NOT NULL UNIQUE REFERENCES "assets_photo" ("id") DEFERRABLE INITIALLY DEFERRED);
CREATE TABLE "defects_dismissal" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "reason" varchar(300) NOT NULL, "by" varchar(80) NOT NULL, "at" datetime NOT NULL, "examination_id" bigint NULL UNIQUE REFERENCES "inspections_examination" ("id") DEFERRABLE INITIALLY DEFERRED, "reading_id" bigint NULL UNIQUE REFERENCES "inspections_reading" ("id") DEFERRABLE INITIALLY DEFERRED, "user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "dismissal_of_one_finding" CHECK ((("examination_id" IS NOT NULL AND "reading_id" IS NULL) OR ("examination_id" IS NULL AND "reading_id" IS NOT NULL))), CONSTRAINT "dismissal_reason_given" CHECK (NOT ("reason" = '')));
CREATE TABLE "defects_event" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "at" datetime NOT NULL, "by" varchar(80) NOT NULL, "department" varchar(24) NOT NULL, "move" varchar(24) NOT NULL, "state" varchar(24) NOT NULL, "owner" varchar(24) NOT NULL, "note" text NOT NULL, "agreed_by_engineer" bool NOT NULL, "recorded_at" datetime NOT NULL, "corrects_id" bigint NULL UNIQUE REFERENCES "defects_event" ("id") DEFERRABLE INITIALLY DEFERRED, "defect_id" bigint NOT NULL REFERENCES "defects_defect" ("id") DEFERRABLE INITIALLY DEFERRED, "examination_id" bigint NULL REFERENCES "inspections_examination" ("id") DEFERRABLE INITIALLY DEFERRED, "reading_id" bigint NULL REFERENCES "inspections_reading" ("id") DEFERRABLE INITIALLY DEFERRED, "user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "event_move_word" CHECK ("move" IN ('raise', 'accept', 'hand_over', 'return', 'work_done', 'close', 'in_error', 'comment', 'edit', 'measure', 'measured_again', 'link')), CONSTRAINT "event_state_word" CHECK ("state" IN ('raised', 'accepted', 'work_done', 'closed', 'in_error')), CONSTRAINT "event_owner_word" CHECK ("owner" IN ('signalling', 'permanent_way')), CONSTRAINT "event_close_has_evidence" CHECK ((NOT ("move" = 'close') OR "reading_id" IS NOT NULL OR "examination_id" IS NOT NULL OR ("agreed_by_engineer" AND NOT ("note" = '')))), CONSTRAINT "event_reason_given" CHECK (NOT ("move" IN ('hand_over', 'return', 'in_error', 'comment') AND "note" = '')));
INSERT INTO "defects_event" VALUES(1,'2026-05-04 12:00:00','Lineman A','signalling','raise','raised','signalling','',0,'2026-11-25 10:33:00.170482',NULL,1,NULL,1,1);
INSERT INTO "defects_event" VALUES(2,'2026-05-04 12:00:00','Lineman A','signalling','accept','accepted','signalling','',0,'2026-11-25 10:33:00.173205',NULL,1,NULL,NULL,1);
INSERT INTO "defects_event" VALUES(3,'2026-05-06 12:00:00','Lineman A','signalling','work_done','work_done','signalling','Back stretcher reset.',0,'2026-11-25 10:33:00.175961',NULL,1,NULL,NULL,1);
INSERT INTO "defects_event" VALUES(4,'2026-05-08 12:00:00','Lineman A','signalling','close','closed','signalling','',0,'2026-11-25 10:33:00.199930',NULL,1,NULL,2,1);
INSERT INTO "defects_event" VALUES(5,'2026-05-08 12:00:00','Lineman A','signalling','raise','raised','signalling','',0,'2026-11-25 10:33:00.209251',NULL,2,NULL,NULL,1);
CREATE TABLE "defects_historicaldefect" ("id" bigint NOT NULL, "number" integer unsigned NOT NULL CHECK ("number" >= 0), "found" varchar(60) NOT NULL, "title" varchar(160) NOT NULL, "description" text NOT NULL, "remedy" varchar(300) NOT NULL, "urgency" varchar(24) NOT NULL, "state" varchar(24) NOT NULL, "owner" varchar(24) NOT NULL, "mends" varchar(24) NOT NULL, "checks" varchar(24) NOT NULL, "raised_at" datetime NOT NULL, "raised_by" varchar(80) NOT NULL, "due_on" date NULL, "work_done_at" datetime NULL, "closed_at" datetime NULL, "temporary_measure" varchar(24) NOT NULL, "needs_cause" bool NOT NULL, "cause" varchar(300) NOT NULL, "version" integer unsigned NOT NULL CHECK ("version" >= 0), "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "caused_by_id" bigint NULL, "examination_id" bigint NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, "lost_motion_fitting_id" bigint NULL, "machine_id" bigint NULL, "points_id" bigint NULL, "position_id" bigint NULL, "reading_id" bigint NULL, "repeat_of_id" bigint NULL, "route_id" bigint NULL, "stretcher_id" bigint NULL);
INSERT INTO "defects_historicaldefect" VALUES(1,1,'fwc.below','Loose fixing','','Reset the back stretcher; look for cracks at gooseneck and shoe.','urgent','raised','signalling','signalling','signalling','2026-05-04 12:00:00','Lineman A','2026-05-11',NULL,NULL,'none',0,'',0,1,'2026-11-25 10:33:00.164938',NULL,'+',NULL,NULL,NULL,NULL,NULL,1,2,1,NULL,3,NULL);
INSERT INTO "defects_historicaldefect" VALUES(1,1,'fwc.below','Loose fixing','','Reset the back stretcher; look for cracks at gooseneck and shoe.','urgent','raised','signalling','signalling','signalling','2026-05-04 12:00:00','Lineman A','2026-05-11',NULL,NULL,'none',0,'',1,2,'2026-11-25 10:33:00.171225',NULL,'~',NULL,NULL,NULL,NULL,NULL,1,2,1,NULL,3,NULL);
INSERT INTO "defects_historicaldefect" VALUES(1,1,'fwc.below','Loose fixing','','Reset the back stretcher; look for cracks at gooseneck and shoe.','urgent','accepted','signalling','signalling','signalling','2026-05-04 12:00:00','Lineman A','2026-05-11',NULL,NULL,'none',0,'',2,3,'2026-11-25 10:33:00.173678',NULL,'~',NULL,NULL,NULL,NULL,NULL,1,2,1,NULL,3,NULL);
INSERT INTO "defects_historicaldefect" VALUES(1,1,'fwc.below','Loose fixing','','Reset the back stretcher; look for cracks at gooseneck and shoe.','urgent','work_done','signalling','signalling','signalling','2026-05-04 12:00:00','Lineman A','2026-05-11','2026-05-06 12:00:00',NULL,'none',0,'',3,4,'2026-11-25 10:33:00.176408',NULL,'~',NULL,NULL,NULL,NULL,NULL,1,2,1,NULL,3,NULL);
INSERT INTO "defects_historicaldefect" VALUES(1,1,'fwc.below','Loose fixing','','Reset the back stretcher; look for cracks at gooseneck and shoe.','urgent','closed','signalling','signalling','signalling','2026-05-04 12:00:00','Lineman A','2026-05-11','2026-05-06 12:00:00','2026-05-08 12:00:00','none',0,'',4,5,'2026-11-25 10:33:00.200408',NULL,'~',NULL,NULL,NULL,NULL,NULL,1,2,1,NULL,3,NULL);
INSERT INTO "defects_historicaldefect" VALUES(2,2,'','Timber fouls the rod','No routing row was found for this finding, so it goes to signalling: say who mends it.','','planned','raised','signalling','signalling','signalling','2026-05-08 12:00:00','Lineman A','2026-06-05',NULL,NULL,'none',0,'',0,6,'2026-11-25 10:33:00.208333',NULL,'+',NULL,NULL,NULL,NULL,NULL,1,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "defects_historicaldefect" VALUES(2,2,'','Timber fouls the rod','No routing row was found for this finding, so it goes to signalling: say who mends it.','','planned','raised','signalling','signalling','signalling','2026-05-08 12:00:00','Lineman A','2026-06-05',NULL,NULL,'none',0,'',1,7,'2026-11-25 10:33:00.209604',NULL,'~',NULL,NULL,NULL,NULL,NULL,1,NULL,NULL,NULL,NULL,NULL);
CREATE TABLE "defects_historicalroute" ("id" bigint NOT NULL, "found" varchar(60) NOT NULL, "title" varchar(120) NOT NULL, "mends" varchar(24) NOT NULL, "works_with" varchar(24) NOT NULL, "checks" varchar(24) NOT NULL, "remedy" varchar(300) NOT NULL, "urgency" varchar(24) NOT NULL, "needs_cause" bool NOT NULL, "source" varchar(200) NOT NULL, "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED);
INSERT INTO "defects_historicalroute" VALUES(1,'kicker_clearance.below','Kicker clearance below the least','permanent_way','','signalling','Lift and pack the timbers; not by bending the kicker.','urgent',0,'common practice, no source',1,'2026-11-25 10:32:55.179795',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(2,'kicker_clearance.above','Kicker clearance above the most','signalling','','signalling','Shim or re-drill the shoe.','planned',0,'common practice, no source',2,'2026-11-25 10:32:55.180630',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(3,'fwc.below','Free wheel clearance below the least','signalling','','signalling','Reset the back stretcher; look for cracks at gooseneck and shoe.','urgent',0,'common practice, no source',3,'2026-11-25 10:32:55.181061',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(4,'fwc.below.gauge_out','Free wheel clearance below the least, with the track gauge out','permanent_way','signalling','signalling','Correct the gauge first, then measure again.','urgent',0,'common practice, no source',4,'2026-11-25 10:32:55.181467',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(5,'fwc.above','Free wheel clearance above the most','signalling','','signalling','Compare with the opening on both lies; reset the stretchers.','planned',0,'common practice, no source',5,'2026-11-25 10:32:55.182597',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(6,'switch_opening.below','Switch opening below the least','signalling','','signalling','Adjust the drive.','urgent',0,'common practice, no source',6,'2026-11-25 10:32:55.183384',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(7,'switch_opening.above','Switch opening above the most','signalling','','signalling','Adjust the drive.','urgent',0,'common practice, no source',7,'2026-11-25 10:32:55.183829',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(8,'fwp.below','Free wheel passage below the least','signalling','','signalling','Check the readings against each other; reset the stretchers.','planned',0,'common practice, no source',8,'2026-11-25 10:32:55.184245',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(9,'fwp.above','Free wheel passage above the most','signalling','permanent_way','signalling','Check the readings against each other; open the switch further at the back stretcher; look at the gauge.','urgent',0,'common practice, no source',9,'2026-11-25 10:32:55.184664',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(10,'residual_opening.above','Residual opening above the most','signalling','permanent_way','signalling','Look at the fit of the switch, creep and the slide chairs; then adjust.','urgent',0,'common practice, no source',10,'2026-11-25 10:32:55.185044',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(11,'residual_opening.below','Residual opening below the least','signalling','','signalling','Ease the adjustment: the closed switch must not be forced.','planned',0,'common practice, no source',11,'2026-11-25 10:32:55.185417',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(12,'track_gauge.below','Track gauge below the least','permanent_way','','permanent_way','Correct the gauge.','urgent',0,'common practice, no source',12,'2026-11-25 10:32:55.189894',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(13,'track_gauge.above','Track gauge above the most','permanent_way','','permanent_way','Correct the gauge.','urgent',0,'common practice, no source',13,'2026-11-25 10:32:55.190657',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(14,'lock_go.below','Lock test: does not lock with the gauge that must lock','signalling','','signalling','Secure out of use at once; then adjust the lock and test again.','at_once',0,'common practice, no source',14,'2026-11-25 10:32:55.191098',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(15,'lock_no_go.above','Lock test: locks with the gauge that must not lock','signalling','','signalling','Secure out of use at once; then adjust the lock and test again.','at_once',0,'common practice, no source',15,'2026-11-25 10:32:55.191511',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(16,'insulation_resistance.below','Insulation failed or bridged','signalling','','signalling','Find the failed bush or plate, or the metal that bridges it; replace and test again.','urgent',0,'common practice, no source',16,'2026-11-25 10:32:55.191918',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(17,'insulation_resistance.above','Insulation resistance above the most','signalling','','signalling','Check the tester and its leads, then measure again.','when_there',0,'common practice, no source',17,'2026-11-25 10:32:55.192297',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(18,'torque.below','Fixing loose: tightening torque below the least','signalling','','signalling','Tighten to the figure laid down, and find out why it came loose.','urgent',1,'common practice, no source',18,'2026-11-25 10:32:55.192677',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(19,'torque.above','Fixing overtightened: torque above the most','signalling','','signalling','Replace the bolt and tighten to the figure laid down.','planned',0,'common practice, no source',19,'2026-11-25 10:32:55.201964',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(20,'lost_motion.below','Lost motion below the least','signalling','','signalling','Adjust the lost-motion fitting: the lock must clear before the switch starts.','urgent',0,'common practice, no source',20,'2026-11-25 10:32:55.202760',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(21,'lost_motion.above','Lost motion above the most','signalling','','signalling','Adjust the lost-motion fitting: the switch must still open fully.','planned',0,'common practice, no source',21,'2026-11-25 10:32:55.203489',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(22,'item.gooseneck_crack','Gooseneck cracked','signalling','','signalling','Take out of use and replace.','at_once',0,'common practice, no source',22,'2026-11-25 10:32:55.204112',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(23,'item.shoe_crack','Shoe cracked','signalling','','signalling','Take out of use and replace.','at_once',0,'common practice, no source',23,'2026-11-25 10:32:55.204695',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(24,'item.weld','Weld of an adjustable rod cracked','signalling','','signalling','Take out of use and replace.','at_once',0,'common practice, no source',24,'2026-11-25 10:32:55.205285',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(25,'item.rubber_bush','Rubber bush squashed or perished','signalling','','signalling','Replace the bush and test the insulation.','planned',0,'common practice, no source',25,'2026-11-25 10:32:55.206667',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(26,'item.insulation_plates','Insulation plates broken or missing','signalling','','signalling','Replace the plates and test the insulation.','urgent',0,'common practice, no source',26,'2026-11-25 10:32:55.207409',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(27,'item.metal_touching','Metal touching the rails or bridging an insulation','signalling','','signalling','Clear it and test the insulation.','urgent',0,'common practice, no source',27,'2026-11-25 10:32:55.208127',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(28,'item.captive_nut','Captive nut loose or damaged','signalling','','signalling','Replace the nut, and find out why it failed.','urgent',1,'common practice, no source',28,'2026-11-25 10:32:55.208719',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(29,'item.lock_nuts','Lock nut loose or missing','signalling','','signalling','Tighten or replace, and find out why it came loose.','urgent',1,'common practice, no source',29,'2026-11-25 10:32:55.209268',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(30,'item.fixings','Fixing loose, broken or missing','signalling','','signalling','Replace and tighten to the figure laid down, and find out why it failed.','urgent',1,'Accident reports: a loose fixing tightened again without its cause is not mended (RAIB 20/2008)',30,'2026-11-25 10:32:55.209889',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(31,'item.greasing','Not greased behind the back nuts','signalling','','signalling','Clean and grease.','when_there',0,'common practice, no source',31,'2026-11-25 10:32:55.210497',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(32,'item.wear_marks','Wear marks on the back of the open switch rail','signalling','permanent_way','signalling','Wheels touch the open switch: measure free wheel clearance and passage all along it.','at_once',0,'common practice, no source',32,'2026-11-25 10:32:55.211057',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(33,'item.ballast','Ballast behind the rods','permanent_way','','signalling','Dig out.','planned',0,'common practice, no source',33,'2026-11-25 10:32:55.211658',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(34,'item.timber_fouling','Rod close to or cut into a timber','permanent_way','','signalling','Move or replace the timber; do not cut it.','planned',0,'common practice, no source',34,'2026-11-25 10:32:55.212311',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(35,'item.switch_creep','Switch creep','permanent_way','signalling','permanent_way','Pull back and anchor; then signalling measures again.','planned',0,'common practice, no source',35,'2026-11-25 10:32:55.212899',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(36,'item.slide_chairs','Slide chair worn, dry or not carrying the switch rail','permanent_way','','signalling','Clean, lubricate, pack or replace.','planned',0,'common practice, no source',36,'2026-11-25 10:32:55.213610',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(37,'item.rail_damage','Rail damaged','permanent_way','','permanent_way','Examine by the permanent way; repair or replace.','at_once',0,'common practice, no source',37,'2026-11-25 10:32:55.214315',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(38,'check.mixed_insulation','Stretchers insulated on different sides','signalling','','signalling','Turn or change a rod so that every insulation lies on one side.','urgent',0,'common practice, no source',38,'2026-11-25 10:32:55.214909',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(39,'check.kicker_missing','No kicker where one is required','signalling','','signalling','Fit a rod with a kicker.','urgent',0,'common practice, no source',39,'2026-11-25 10:32:55.215443',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(40,'check.too_few_rods','Fewer stretchers than the switch needs','signalling','','signalling','Fit the missing stretchers.','at_once',0,'common practice, no source',40,'2026-11-25 10:32:55.216031',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(41,'check.shoe_not_rail','A shoe does not match the rail','signalling','','signalling','Fit a rod with shoes for this rail, or change the shoe.','urgent',0,'common practice, no source',41,'2026-11-25 10:32:55.236699',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(42,'check.inspection_overdue','Inspection overdue','signalling','','signalling','Inspect the points.','urgent',0,'common practice, no source',42,'2026-11-25 10:32:55.237297',NULL,'+',NULL);
INSERT INTO "defects_historicalroute" VALUES(43,'check.cracked_part','A part with an open crack is fitted','signalling','','signalling','Take out of use and replace.','at_once',0,'common practice, no source',43,'2026-11-25 10:32:55.237706',NULL,'+',NULL);
CREATE TABLE "defects_route" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "found" varchar(60) NOT NULL UNIQUE, "title" varchar(120) NOT NULL, "mends" varchar(24) NOT NULL, "works_with" varchar(24) NOT NULL, "checks" varchar(24) NOT NULL, "remedy" varchar(300) NOT NULL, "urgency" varchar(24) NOT NULL, "needs_cause" bool NOT NULL, "source" varchar(200) NOT NULL, CONSTRAINT "route_mends_word" CHECK ("mends" IN ('signalling', 'permanent_way')), CONSTRAINT "route_checks_word" CHECK ("checks" IN ('signalling', 'permanent_way')), CONSTRAINT "route_urgency_word" CHECK ("urgency" IN ('at_once', 'urgent', 'planned', 'when_there')), CONSTRAINT "route_works_with_word" CHECK ("works_with" IN ('', 'signalling', 'permanent_way')));
INSERT INTO "defects_route" VALUES(1,'kicker_clearance.below','Kicker clearance below the least','permanent_way','','signalling','Lift and pack the timbers; not by bending the kicker.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(2,'kicker_clearance.above','Kicker clearance above the most','signalling','','signalling','Shim or re-drill the shoe.','planned',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(3,'fwc.below','Free wheel clearance below the least','signalling','','signalling','Reset the back stretcher; look for cracks at gooseneck and shoe.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(4,'fwc.below.gauge_out','Free wheel clearance below the least, with the track gauge out','permanent_way','signalling','signalling','Correct the gauge first, then measure again.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(5,'fwc.above','Free wheel clearance above the most','signalling','','signalling','Compare with the opening on both lies; reset the stretchers.','planned',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(6,'switch_opening.below','Switch opening below the least','signalling','','signalling','Adjust the drive.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(7,'switch_opening.above','Switch opening above the most','signalling','','signalling','Adjust the drive.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(8,'fwp.below','Free wheel passage below the least','signalling','','signalling','Check the readings against each other; reset the stretchers.','planned',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(9,'fwp.above','Free wheel passage above the most','signalling','permanent_way','signalling','Check the readings against each other; open the switch further at the back stretcher; look at the gauge.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(10,'residual_opening.above','Residual opening above the most','signalling','permanent_way','signalling','Look at the fit of the switch, creep and the slide chairs; then adjust.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(11,'residual_opening.below','Residual opening below the least','signalling','','signalling','Ease the adjustment: the closed switch must not be forced.','planned',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(12,'track_gauge.below','Track gauge below the least','permanent_way','','permanent_way','Correct the gauge.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(13,'track_gauge.above','Track gauge above the most','permanent_way','','permanent_way','Correct the gauge.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(14,'lock_go.below','Lock test: does not lock with the gauge that must lock','signalling','','signalling','Secure out of use at once; then adjust the lock and test again.','at_once',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(15,'lock_no_go.above','Lock test: locks with the gauge that must not lock','signalling','','signalling','Secure out of use at once; then adjust the lock and test again.','at_once',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(16,'insulation_resistance.below','Insulation failed or bridged','signalling','','signalling','Find the failed bush or plate, or the metal that bridges it; replace and test again.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(17,'insulation_resistance.above','Insulation resistance above the most','signalling','','signalling','Check the tester and its leads, then measure again.','when_there',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(18,'torque.below','Fixing loose: tightening torque below the least','signalling','','signalling','Tighten to the figure laid down, and find out why it came loose.','urgent',1,'common practice, no source');
INSERT INTO "defects_route" VALUES(19,'torque.above','Fixing overtightened: torque above the most','signalling','','signalling','Replace the bolt and tighten to the figure laid down.','planned',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(20,'lost_motion.below','Lost motion below the least','signalling','','signalling','Adjust the lost-motion fitting: the lock must clear before the switch starts.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(21,'lost_motion.above','Lost motion above the most','signalling','','signalling','Adjust the lost-motion fitting: the switch must still open fully.','planned',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(22,'item.gooseneck_crack','Gooseneck cracked','signalling','','signalling','Take out of use and replace.','at_once',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(23,'item.shoe_crack','Shoe cracked','signalling','','signalling','Take out of use and replace.','at_once',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(24,'item.weld','Weld of an adjustable rod cracked','signalling','','signalling','Take out of use and replace.','at_once',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(25,'item.rubber_bush','Rubber bush squashed or perished','signalling','','signalling','Replace the bush and test the insulation.','planned',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(26,'item.insulation_plates','Insulation plates broken or missing','signalling','','signalling','Replace the plates and test the insulation.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(27,'item.metal_touching','Metal touching the rails or bridging an insulation','signalling','','signalling','Clear it and test the insulation.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(28,'item.captive_nut','Captive nut loose or damaged','signalling','','signalling','Replace the nut, and find out why it failed.','urgent',1,'common practice, no source');
INSERT INTO "defects_route" VALUES(29,'item.lock_nuts','Lock nut loose or missing','signalling','','signalling','Tighten or replace, and find out why it came loose.','urgent',1,'common practice, no source');
INSERT INTO "defects_route" VALUES(30,'item.fixings','Fixing loose, broken or missing','signalling','','signalling','Replace and tighten to the figure laid down, and find out why it failed.','urgent',1,'Accident reports: a loose fixing tightened again without its cause is not mended (RAIB 20/2008)');
INSERT INTO "defects_route" VALUES(31,'item.greasing','Not greased behind the back nuts','signalling','','signalling','Clean and grease.','when_there',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(32,'item.wear_marks','Wear marks on the back of the open switch rail','signalling','permanent_way','signalling','Wheels touch the open switch: measure free wheel clearance and passage all along it.','at_once',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(33,'item.ballast','Ballast behind the rods','permanent_way','','signalling','Dig out.','planned',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(34,'item.timber_fouling','Rod close to or cut into a timber','permanent_way','','signalling','Move or replace the timber; do not cut it.','planned',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(35,'item.switch_creep','Switch creep','permanent_way','signalling','permanent_way','Pull back and anchor; then signalling measures again.','planned',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(36,'item.slide_chairs','Slide chair worn, dry or not carrying the switch rail','permanent_way','','signalling','Clean, lubricate, pack or replace.','planned',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(37,'item.rail_damage','Rail damaged','permanent_way','','permanent_way','Examine by the permanent way; repair or replace.','at_once',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(38,'check.mixed_insulation','Stretchers insulated on different sides','signalling','','signalling','Turn or change a rod so that every insulation lies on one side.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(39,'check.kicker_missing','No kicker where one is required','signalling','','signalling','Fit a rod with a kicker.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(40,'check.too_few_rods','Fewer stretchers than the switch needs','signalling','','signalling','Fit the missing stretchers.','at_once',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(41,'check.shoe_not_rail','A shoe does not match the rail','signalling','','signalling','Fit a rod with shoes for this rail, or change the shoe.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(42,'check.inspection_overdue','Inspection overdue','signalling','','signalling','Inspect the points.','urgent',0,'common practice, no source');
INSERT INTO "defects_route" VALUES(43,'check.cracked_part','A part with an open crack is fitted','signalling','','signalling','Take out of use and replace.','at_once',0,'common practice, no source');
CREATE TABLE "django_admin_log" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "object_id" text NULL, "object_repr" varchar(200) NOT NULL, "action_flag" smallint unsigned NOT NULL CHECK ("action_flag" >= 0), "change_message" text NOT NULL, "content_type_id" integer NULL REFERENCES "django_content_type" ("id") DEFERRABLE INITIALLY DEFERRED, "user_id" integer NOT NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, "action_time" datetime NOT NULL);
CREATE TABLE "django_content_type" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "app_label" varchar(100) NOT NULL, "model" varchar(100) NOT NULL);
INSERT INTO "django_content_type" VALUES(1,'defects','historicalroute');
INSERT INTO "django_content_type" VALUES(2,'defects','route');
INSERT INTO "django_content_type" VALUES(3,'defects','defect');
INSERT INTO "django_content_type" VALUES(4,'defects','dismissal');
INSERT INTO "django_content_type" VALUES(5,'defects','event');
INSERT INTO "django_content_type" VALUES(6,'defects','defectphoto');
INSERT INTO "django_content_type" VALUES(7,'defects','historicaldefect');
INSERT INTO "django_content_type" VALUES(8,'inspections','historicalinstrument');
INSERT INTO "django_content_type" VALUES(9,'inspections','historicallimit');
INSERT INTO "django_content_type" VALUES(10,'inspections','historicalseason');
INSERT INTO "django_content_type" VALUES(11,'inspections','instrument');
INSERT INTO "django_content_type" VALUES(12,'inspections','inspection');
INSERT INTO "django_content_type" VALUES(13,'inspections','limit');
INSERT INTO "django_content_type" VALUES(14,'inspections','reading');
INSERT INTO "django_content_type" VALUES(15,'inspections','season');
INSERT INTO "django_content_type" VALUES(16,'inspections','examination');
INSERT INTO "django_content_type" VALUES(17,'inspections','examinationphoto');
INSERT INTO "django_content_type" VALUES(18,'inspections','difference');
INSERT INTO "django_content_type" VALUES(19,'inspections','outlook');
INSERT INTO "django_content_type" VALUES(20,'inspections','reaching');
INSERT INTO "django_content_type" VALUES(21,'assets','historicallocation');
INSERT INTO "django_content_type" VALUES(22,'assets','historicallostmotionfitting');
INSERT INTO "django_content_type" VALUES(23,'assets','historicalmachine');
INSERT INTO "django_content_type" VALUES(24,'assets','historicalrailsection');
INSERT INTO "django_content_type" VALUES(25,'assets','historicalstretcher');
INSERT INTO "django_content_type" VALUES(26,'assets','historicalswitchdesign');
INSERT INTO "django_content_type" VALUES(27,'assets','location');
INSERT INTO "django_content_type" VALUES(28,'assets','lostmotionfitting');
INSERT INTO "django_content_type" VALUES(29,'assets','machine');
INSERT INTO "django_content_type" VALUES(30,'assets','points');
INSERT INTO "django_content_type" VALUES(31,'assets','historicalswitchoffset');
INSERT INTO "django_content_type" VALUES(32,'assets','historicalposition');
INSERT INTO "django_content_type" VALUES(33,'assets','position');
INSERT INTO "django_content_type" VALUES(34,'assets','railsection');
INSERT INTO "django_content_type" VALUES(35,'assets','stretcher');
INSERT INTO "django_content_type" VALUES(36,'assets','historicalfitting');
INSERT INTO "django_content_type" VALUES(37,'assets','fitting');
INSERT INTO "django_content_type" VALUES(38,'assets','switchdesign');
INSERT INTO "django_content_type" VALUES(39,'assets','historicalpoints');
INSERT INTO "django_content_type" VALUES(40,'assets','switchoffset');
INSERT INTO "django_content_type" VALUES(41,'assets','historicalwheelstandard');
INSERT INTO "django_content_type" VALUES(42,'assets','wheelstandard');
INSERT INTO "django_content_type" VALUES(43,'assets','photo');
INSERT INTO "django_content_type" VALUES(44,'assets','partphoto');
INSERT INTO "django_content_type" VALUES(45,'assets','withdrawal');
INSERT INTO "django_content_type" VALUES(46,'assets','matching');
INSERT INTO "django_content_type" VALUES(47,'admin','logentry');
INSERT INTO "django_content_type" VALUES(48,'auth','permission');
INSERT INTO "django_content_type" VALUES(49,'auth','group');
INSERT INTO "django_content_type" VALUES(50,'auth','user');
INSERT INTO "django_content_type" VALUES(51,'contenttypes','contenttype');
INSERT INTO "django_content_type" VALUES(52,'sessions','session');
INSERT INTO "django_content_type" VALUES(53,'axes','accessattempt');
INSERT INTO "django_content_type" VALUES(54,'axes','accesslog');
INSERT INTO "django_content_type" VALUES(55,'axes','accessfailurelog');
INSERT INTO "django_content_type" VALUES(56,'axes','accessattemptexpiration');
CREATE TABLE "django_migrations" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "app" varchar(255) NOT NULL, "name" varchar(255) NOT NULL, "applied" datetime NOT NULL);
INSERT INTO "django_migrations" VALUES(1,'contenttypes','0001_initial','2026-11-25 10:32:49.620473');
INSERT INTO "django_migrations" VALUES(2,'auth','0001_initial','2026-11-25 10:32:49.644448');
INSERT INTO "django_migrations" VALUES(3,'admin','0001_initial','2026-11-25 10:32:49.652583');
INSERT INTO "django_migrations" VALUES(4,'admin','0002_logentry_remove_auto_add','2026-11-25 10:32:49.672608');
INSERT INTO "django_migrations" VALUES(5,'admin','0003_logentry_add_action_flag_choices','2026-11-25 10:32:49.680201');
INSERT INTO "django_migrations" VALUES(6,'assets','0001_initial','2026-11-25 10:32:50.536103');
INSERT INTO "django_migrations" VALUES(7,'assets','0002_keys','2026-11-25 10:32:50.620706');
INSERT INTO "django_migrations" VALUES(8,'assets','0003_wheels_and_goosenecks','2026-11-25 10:32:50.768361');
INSERT INTO "django_migrations" VALUES(9,'assets','0004_photographs','2026-11-25 10:32:50.922637');
INSERT INTO "django_migrations" VALUES(10,'assets','0005_matchings','2026-11-25 10:32:50.930047');
INSERT INTO "django_migrations" VALUES(11,'contenttypes','0002_remove_content_type_name','2026-11-25 10:32:50.992207');
INSERT INTO "django_migrations" VALUES(12,'auth','0002_alter_permission_name_max_length','2026-11-25 10:32:51.040411');
INSERT INTO "django_migrations" VALUES(13,'auth','0003_alter_user_email_max_length','2026-11-25 10:32:51.059416');
INSERT INTO "django_migrations" VALUES(14,'auth','0004_alter_user_username_opts','2026-11-25 10:32:51.071848');
INSERT INTO "django_migrations" VALUES(15,'auth','0005_alter_user_last_login_null','2026-11-25 10:32:51.086732');
INSERT INTO "django_migrations" VALUES(16,'auth','0006_require_contenttypes_0002','2026-11-25 10:32:51.087239');
INSERT INTO "django_migrations" VALUES(17,'auth','0007_alter_validators_add_error_messages','2026-11-25 10:32:51.097970');
INSERT INTO "django_migrations" VALUES(18,'auth','0008_alter_user_username_max_length','2026-11-25 10:32:51.114032');
INSERT INTO "django_migrations" VALUES(19,'auth','0009_alter_user_last_name_max_length','2026-11-25 10:32:51.128169');
INSERT INTO "django_migrations" VALUES(20,'auth','0010_alter_group_name_max_length','2026-11-25 10:32:51.156725');
INSERT INTO "django_migrations" VALUES(21,'auth','0011_update_proxy_permissions','2026-11-25 10:32:51.173420');
INSERT INTO "django_migrations" VALUES(22,'auth','0012_alter_user_first_name_max_length','2026-11-25 10:32:51.190679');
INSERT INTO "django_migrations" VALUES(23,'axes','0001_initial','2026-11-25 10:32:51.193307');
INSERT INTO "django_migrations" VALUES(24,'axes','0002_auto_20151217_2044','2026-11-25 10:32:51.259578');
INSERT INTO "django_migrations" VALUES(25,'axes','0003_auto_20160322_0929','2026-11-25 10:32:51.281702');
INSERT INTO "django_migrations" VALUES(26,'axes','0004_auto_20181024_1538','2026-11-25 10:32:51.299092');
INSERT INTO "django_migrations" VALUES(27,'axes','0005_remove_accessattempt_trusted','2026-11-25 10:32:51.308982');
INSERT INTO "django_migrations" VALUES(28,'axes','0006_remove_accesslog_trusted','2026-11-25 10:32:51.326464');
INSERT INTO "django_migrations" VALUES(29,'axes','0007_alter_accessattempt_unique_together','2026-11-25 10:32:51.368486');
INSERT INTO "django_migrations" VALUES(30,'axes','0008_accessfailurelog','2026-11-25 10:32:51.370789');
INSERT INTO "django_migrations" VALUES(31,'axes','0009_add_session_hash','2026-11-25 10:32:51.376322');
INSERT INTO "django_migrations" VALUES(32,'axes','0010_accessattemptexpiration','2026-11-25 10:32:51.378666');
INSERT INTO "django_migrations" VALUES(33,'inspections','0001_initial','2026-11-25 10:32:52.433270');
INSERT INTO "django_migrations" VALUES(34,'inspections','0002_entries_and_corrections','2026-11-25 10:32:52.795214');
INSERT INTO "django_migrations" VALUES(35,'inspections','0003_photographs_and_changed_rods','2026-11-25 10:32:52.914140');
INSERT INTO "django_migrations" VALUES(36,'inspections','0004_outlooks','2026-11-25 10:32:52.974782');
INSERT INTO "django_migrations" VALUES(37,'inspections','0005_indexes','2026-11-25 10:32:53.187826');
INSERT INTO "django_migrations" VALUES(38,'defects','0001_initial','2026-11-25 10:32:54.315554');
INSERT INTO "django_migrations" VALUES(39,'defects','0002_what_was_found','2026-11-25 10:32:54.527007');
INSERT INTO "django_migrations" VALUES(40,'defects','0003_photographs','2026-11-25 10:32:54.613768');
INSERT INTO "django_migrations" VALUES(41,'defects','0004_defect_history','2026-11-25 10:32:54.652861');
INSERT INTO "django_migrations" VALUES(42,'defects','0005_indexes','2026-11-25 10:32:54.717998');
INSERT INTO "django_migrations" VALUES(43,'sessions','0001_initial','2026-11-25 10:32:54.721176');
CREATE TABLE "django_session" ("session_key" varchar(40) NOT NULL PRIMARY KEY, "session_data" text NOT NULL, "expire_date" datetime NOT NULL);
INSERT INTO "django_session" VALUES('w9r4pmi8jblfbt914hdbxlni54f4sh9g','.eJxVjDsOwjAQBe_iGlmO8W8p6TmDtetdcAA5UpxUiLtDpBTQvpl5L5VxXWpeu8x5ZHVSVh1-N8LykLYBvmO7TbpMbZlH0puid9r1ZWJ5nnf376Bir99agIRTcMkmHtyQAgIU78VFisFYNDHglY8hkRND0TMUBPQJpDghMOr9AdziN_Q:1xWAJB:EKezEEHHacGKL4J3_TECLO3Z98ycahIEVuTjWj7wodc','2026-12-09 10:33:01.443846');
CREATE TABLE "inspections_difference" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "answer" varchar(24) NOT NULL, "answered_by" varchar(80) NOT NULL, "answered_at" datetime NULL, "inspection_id" bigint NOT NULL REFERENCES "inspections_inspection" ("id") DEFERRABLE INITIALLY DEFERRED, "position_id" bigint NOT NULL REFERENCES "assets_position" ("id") DEFERRABLE INITIALLY DEFERRED, "rod_now_id" bigint NULL REFERENCES "assets_stretcher" ("id") DEFERRABLE INITIALLY DEFERRED, "rod_then_id" bigint NULL REFERENCES "assets_stretcher" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "difference_once_per_place" UNIQUE ("inspection_id", "position_id"), CONSTRAINT "difference_answer_whole" CHECK ((("answer" = '' AND "answered_at" IS NULL AND "answered_by" = '') OR ("answer" IN ('then', 'now', 'not_known') AND "answered_at" IS NOT NULL AND NOT ("answered_by" = '')))));
CREATE TABLE "inspections_examination" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "item" varchar(24) NOT NULL, "found" varchar(24) NOT NULL, "note" varchar(300) NOT NULL, "position_id" bigint NULL REFERENCES "assets_position" ("id") DEFERRABLE INITIALLY DEFERRED, "stretcher_id" bigint NULL REFERENCES "assets_stretcher" ("id") DEFERRABLE INITIALLY DEFERRED, "inspection_id" bigint NOT NULL REFERENCES "inspections_inspection" ("id") DEFERRABLE INITIALLY DEFERRED, "correction_reason" varchar(200) NOT NULL, "entered_at" datetime NOT NULL, "entered_by" varchar(80) NOT NULL, "corrects_id" bigint NULL UNIQUE REFERENCES "inspections_examination" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "examination_item_word" CHECK ("item" IN ('gooseneck_crack', 'shoe_crack', 'weld', 'rubber_bush', 'insulation_plates', 'metal_touching', 'captive_nut', 'lock_nuts', 'fixings', 'greasing', 'wear_marks', 'ballast', 'timber_fouling', 'switch_creep', 'slide_chairs', 'rail_damage')), CONSTRAINT "examination_found_word" CHECK ("found" IN ('good', 'defective', 'not_seen')), CONSTRAINT "examination_correction_has_a_reason" CHECK (("corrects_id" IS NULL OR NOT ("correction_reason" = ''))));
INSERT INTO "inspections_examination" VALUES(1,'ballast','good','',2,2,3,'','2026-11-25 10:33:00.230057','Lineman A',NULL);
CREATE TABLE "inspections_examinationphoto" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "examination_id" bigint NOT NULL REFERENCES "inspections_examination" ("id") DEFERRABLE INITIALLY DEFERRED, "photo_id" bigint NOT NULL UNIQUE REFERENCES "assets_photo" ("id") DEFERRABLE INITIALLY DEFERRED);
CREATE TABLE "inspections_historicalinstrument" ("id" bigint NOT NULL, "tag" varchar(20) NOT NULL, "kind" varchar(24) NOT NULL, "check_due" date NULL, "note" varchar(200) NOT NULL, "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED);
CREATE TABLE "inspections_historicallimit" ("id" bigint NOT NULL, "quantity" varchar(24) NOT NULL, "level" varchar(24) NOT NULL, "scope" varchar(24) NOT NULL, "layout" varchar(24) NOT NULL, "minimum" real NULL, "nominal" real NULL, "maximum" real NULL, "reason" varchar(200) NOT NULL, "source" varchar(300) NOT NULL, "effective_from" date NOT NULL, "confirmed_by" varchar(80) NOT NULL, "confirmed_on" date NULL, "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "design_id" bigint NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, "points_id" bigint NULL, "rail_section_id" bigint NULL);
INSERT INTO "inspections_historicallimit" VALUES(1,'kicker_clearance','intervention','railway','',3.0,NULL,6.0,'','example: common practice in the trade, no published source','2000-01-01','',NULL,1,'2026-11-25 10:32:57.332068',NULL,'+',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_historicallimit" VALUES(2,'fwc','intervention','railway','',50.0,NULL,NULL,'','example: common practice in the trade, no published source','2000-01-01','',NULL,2,'2026-11-25 10:32:57.358449',NULL,'+',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_historicallimit" VALUES(3,'fwc','intervention','rail_section','',60.0,NULL,NULL,'','example: common practice in the trade, no published source','2000-01-01','',NULL,3,'2026-11-25 10:32:57.379318',NULL,'+',NULL,NULL,NULL,1);
INSERT INTO "inspections_historicallimit" VALUES(4,'switch_opening','intervention','railway','',102.0,108.0,120.0,'','example: common practice in the trade, no published source','2000-01-01','',NULL,4,'2026-11-25 10:32:57.402606',NULL,'+',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_historicallimit" VALUES(5,'switch_opening','intervention','layout','single_slip',92.0,NULL,96.0,'','example: common practice in the trade, no published source','2000-01-01','',NULL,5,'2026-11-25 10:32:57.413689',NULL,'+',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_historicallimit" VALUES(6,'switch_opening','intervention','layout','double_slip',92.0,NULL,96.0,'','example: common practice in the trade, no published source','2000-01-01','',NULL,6,'2026-11-25 10:32:57.434582',NULL,'+',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_historicallimit" VALUES(7,'switch_opening','intervention','layout','switch_diamond',92.0,NULL,96.0,'','example: common practice in the trade, no published source','2000-01-01','',NULL,7,'2026-11-25 10:32:57.458768',NULL,'+',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_historicallimit" VALUES(8,'torque','intervention','railway','',200.0,NULL,250.0,'','example: common practice in the trade, no published source','2000-01-01','',NULL,8,'2026-11-25 10:32:57.476502',NULL,'+',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_historicallimit" VALUES(9,'residual_opening','alert','railway','',NULL,NULL,1.5,'','example: about 1.5 mm, a candidates'' forum on signalling examinations (secondary)','2000-01-01','',NULL,9,'2026-11-25 10:32:57.504601',NULL,'+',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_historicallimit" VALUES(10,'fwp','alert','railway','',NULL,NULL,1380.0,'','Regulation (EU) 1299/2014, Annex, 4.2.8.6(1); does not bind a heritage line, so given as an alert','2000-01-01','',NULL,10,'2026-11-25 10:32:57.536204',NULL,'+',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_historicallimit" VALUES(11,'track_gauge','immediate','railway','',1426.0,NULL,1470.0,'','Regulation (EU) 1299/2014, Annex, 4.2.8.4 table 12, up to 120 km/h','2000-01-01','',NULL,11,'2026-11-25 10:32:57.591602',NULL,'+',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_historicallimit" VALUES(12,'lock_go','intervention','railway','',1.0,NULL,NULL,'','New South Wales TMG E1583 V1.0 (2009), 4.3.2: must lock at 1.6 mm','2000-01-01','',NULL,12,'2026-11-25 10:32:57.731372',NULL,'+',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_historicallimit" VALUES(13,'lock_no_go','intervention','railway','',NULL,NULL,0.0,'','New South Wales TMG E1583 V1.0 (2009), 4.3.2: must not lock at 3.2 mm','2000-01-01','',NULL,13,'2026-11-25 10:32:57.747296',NULL,'+',NULL,NULL,NULL,NULL);
CREATE TABLE "inspections_historicalseason" ("id" bigint NOT NULL, "name" varchar(60) NOT NULL, "first_use" date NOT NULL, "last_use" date NOT NULL, "history_id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "history_date" datetime NOT NULL, "history_change_reason" varchar(100) NULL, "history_type" varchar(1) NOT NULL, "history_user_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED);
CREATE TABLE "inspections_inspection" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "at" datetime NOT NULL, "by" varchar(80) NOT NULL, "reason" varchar(24) NOT NULL, "note" text NOT NULL, "client_id" char(32) NOT NULL UNIQUE, "recorded_at" datetime NOT NULL, "points_id" bigint NOT NULL REFERENCES "assets_points" ("id") DEFERRABLE INITIALLY DEFERRED, "recorded_by_id" integer NULL REFERENCES "auth_user" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "inspection_reason_word" CHECK ("reason" IN ('routine', 'after_work', 'after_fitting', 'before_use', 'joint_visit')), CONSTRAINT "inspection_who_given" CHECK (NOT ("by" = '')));
INSERT INTO "inspections_inspection" VALUES(1,'2026-05-04 12:00:00','Lineman A','routine','','ca5fbbc2cad34958b39758db19ea86d8','2026-11-25 10:33:00.148588',1,NULL);
INSERT INTO "inspections_inspection" VALUES(2,'2026-05-08 12:00:00','Lineman A','routine','','0d40772b10324c16851603bbeb7ebfe6','2026-11-25 10:33:00.190759',1,NULL);
INSERT INTO "inspections_inspection" VALUES(3,'2026-05-08 13:00:00','Lineman A','routine','','1619165c260648318e508471285a80e1','2026-11-25 10:33:00.223920',1,NULL);
CREATE TABLE "inspections_inspection_instruments" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "inspection_id" bigint NOT NULL REFERENCES "inspections_inspection" ("id") DEFERRABLE INITIALLY DEFERRED, "instrument_id" bigint NOT NULL REFERENCES "inspections_instrument" ("id") DEFERRABLE INITIALLY DEFERRED);
CREATE TABLE "inspections_instrument" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "tag" varchar(20) NOT NULL UNIQUE, "kind" varchar(24) NOT NULL, "check_due" date NULL, "note" varchar(200) NOT NULL, CONSTRAINT "instrument_kind_word" CHECK ("kind" IN ('rule', 'feeler', 'track_gauge', 'obstruction', 'insulation_tester', 'torque_wrench')));
CREATE TABLE "inspections_limit" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "quantity" varchar(24) NOT NULL, "level" varchar(24) NOT NULL, "scope" varchar(24) NOT NULL, "layout" varchar(24) NOT NULL, "scope_key" varchar(30) NOT NULL, "minimum" real NULL, "nominal" real NULL, "maximum" real NULL, "reason" varchar(200) NOT NULL, "source" varchar(300) NOT NULL, "effective_from" date NOT NULL, "confirmed_by" varchar(80) NOT NULL, "confirmed_on" date NULL, "design_id" bigint NULL REFERENCES "assets_switchdesign" ("id") DEFERRABLE INITIALLY DEFERRED, "points_id" bigint NULL REFERENCES "assets_points" ("id") DEFERRABLE INITIALLY DEFERRED, "rail_section_id" bigint NULL REFERENCES "assets_railsection" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "limit_quantity_word" CHECK ("quantity" IN ('switch_opening', 'fwc', 'fwp', 'residual_opening', 'kicker_clearance', 'track_gauge', 'lock_go', 'lock_no_go', 'insulation_resistance', 'torque', 'lost_motion')), CONSTRAINT "limit_level_word" CHECK ("level" IN ('alert', 'intervention', 'immediate')), CONSTRAINT "limit_scope_word" CHECK ("scope" IN ('railway', 'rail_section', 'layout', 'design', 'points')), CONSTRAINT "limit_minimum_range" CHECK (("minimum" IS NULL OR ("minimum" >= 0.0 AND "minimum" <= 1000000000.0))), CONSTRAINT "limit_nominal_range" CHECK (("nominal" IS NULL OR ("nominal" >= 0.0 AND "nominal" <= 1000000000.0))), CONSTRAINT "limit_maximum_range" CHECK (("maximum" IS NULL OR ("maximum" >= 0.0 AND "maximum" <= 1000000000.0))), CONSTRAINT "limit_minimum_not_above_maximum" CHECK (("minimum" IS NULL OR "maximum" IS NULL OR "minimum" <= ("maximum"))), CONSTRAINT "limit_minimum_not_above_nominal" CHECK (("minimum" IS NULL OR "nominal" IS NULL OR "minimum" <= ("nominal"))), CONSTRAINT "limit_nominal_not_above_maximum" CHECK (("nominal" IS NULL OR "maximum" IS NULL OR "nominal" <= ("maximum"))), CONSTRAINT "limit_scope_filled" CHECK ((("scope" = 'railway' AND "rail_section_id" IS NULL AND "layout" = '' AND "design_id" IS NULL AND "points_id" IS NULL) OR ("scope" = 'rail_section' AND NOT ("rail_section_id" IS NULL) AND "layout" = '' AND "design_id" IS NULL AND "points_id" IS NULL) OR ("scope" = 'layout' AND "rail_section_id" IS NULL AND NOT ("layout" = '') AND "design_id" IS NULL AND "points_id" IS NULL) OR ("scope" = 'design' AND "rail_section_id" IS NULL AND "layout" = '' AND NOT ("design_id" IS NULL) AND "points_id" IS NULL) OR ("scope" = 'points' AND "rail_section_id" IS NULL AND "layout" = '' AND "design_id" IS NULL AND NOT ("points_id" IS NULL)))), CONSTRAINT "limit_points_reason" CHECK ((NOT ("scope" = 'points') OR NOT ("reason" = ''))), CONSTRAINT "limit_confirmation_whole" CHECK ((("confirmed_by" = '' AND "confirmed_on" IS NULL) OR ("confirmed_on" IS NOT NULL AND NOT ("confirmed_by" = '')))), CONSTRAINT "limit_once_per_day" UNIQUE ("quantity", "level", "scope", "scope_key", "effective_from"));
INSERT INTO "inspections_limit" VALUES(1,'kicker_clearance','intervention','railway','','',3.0,NULL,6.0,'','example: common practice in the trade, no published source','2000-01-01','',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_limit" VALUES(2,'fwc','intervention','railway','','',50.0,NULL,NULL,'','example: common practice in the trade, no published source','2000-01-01','',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_limit" VALUES(3,'fwc','intervention','rail_section','','1',60.0,NULL,NULL,'','example: common practice in the trade, no published source','2000-01-01','',NULL,NULL,NULL,1);
INSERT INTO "inspections_limit" VALUES(4,'switch_opening','intervention','railway','','',102.0,108.0,120.0,'','example: common practice in the trade, no published source','2000-01-01','',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_limit" VALUES(5,'switch_opening','intervention','layout','single_slip','single_slip',92.0,NULL,96.0,'','example: common practice in the trade, no published source','2000-01-01','',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_limit" VALUES(6,'switch_opening','intervention','layout','double_slip','double_slip',92.0,NULL,96.0,'','example: common practice in the trade, no published source','2000-01-01','',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_limit" VALUES(7,'switch_opening','intervention','layout','switch_diamond','switch_diamond',92.0,NULL,96.0,'','example: common practice in the trade, no published source','2000-01-01','',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_limit" VALUES(8,'torque','intervention','railway','','',200.0,NULL,250.0,'','example: common practice in the trade, no published source','2000-01-01','',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_limit" VALUES(9,'residual_opening','alert','railway','','',NULL,NULL,1.5,'','example: about 1.5 mm, a candidates'' forum on signalling examinations (secondary)','2000-01-01','',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_limit" VALUES(10,'fwp','alert','railway','','',NULL,NULL,1380.0,'','Regulation (EU) 1299/2014, Annex, 4.2.8.6(1); does not bind a heritage line, so given as an alert','2000-01-01','',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_limit" VALUES(11,'track_gauge','immediate','railway','','',1426.0,NULL,1470.0,'','Regulation (EU) 1299/2014, Annex, 4.2.8.4 table 12, up to 120 km/h','2000-01-01','',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_limit" VALUES(12,'lock_go','intervention','railway','','',1.0,NULL,NULL,'','New South Wales TMG E1583 V1.0 (2009), 4.3.2: must lock at 1.6 mm','2000-01-01','',NULL,NULL,NULL,NULL);
INSERT INTO "inspections_limit" VALUES(13,'lock_no_go','intervention','railway','','',NULL,NULL,0.0,'','New South Wales TMG E1583 V1.0 (2009), 4.3.2: must not lock at 3.2 mm','2000-01-01','',NULL,NULL,NULL,NULL);
CREATE TABLE "inspections_outlook" ("points_id" bigint NOT NULL PRIMARY KEY REFERENCES "assets_points" ("id") DEFERRABLE INITIALLY DEFERRED, "inspected_at" datetime NULL, "changes" integer unsigned NOT NULL CHECK ("changes" >= 0), "followed" integer NOT NULL, "good_from" date NULL, "good_until" date NULL);
INSERT INTO "inspections_outlook" VALUES(1,'2026-05-08 13:00:00',5,5,'2026-11-25','2032-05-02');
CREATE TABLE "inspections_reaching" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "quantity" varchar(24) NOT NULL, "side" varchar(24) NOT NULL, "lie" varchar(24) NOT NULL, "value" real NOT NULL, "soonest" date NOT NULL, "points_id" bigint NOT NULL REFERENCES "assets_points" ("id") DEFERRABLE INITIALLY DEFERRED, "position_id" bigint NULL REFERENCES "assets_position" ("id") DEFERRABLE INITIALLY DEFERRED);
CREATE TABLE "inspections_reading" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "quantity" varchar(24) NOT NULL, "at_mm" real NULL, "side" varchar(24) NOT NULL, "lie" varchar(24) NOT NULL, "value" real NULL, "not_taken_reason" varchar(120) NOT NULL, "instrument_past_check" bool NOT NULL, "verdict" varchar(24) NOT NULL, "limit_confirmed" bool NOT NULL, "inspection_id" bigint NOT NULL REFERENCES "inspections_inspection" ("id") DEFERRABLE INITIALLY DEFERRED, "instrument_id" bigint NULL REFERENCES "inspections_instrument" ("id") DEFERRABLE INITIALLY DEFERRED, "limit_id" bigint NULL REFERENCES "inspections_limit" ("id") DEFERRABLE INITIALLY DEFERRED, "position_id" bigint NULL REFERENCES "assets_position" ("id") DEFERRABLE INITIALLY DEFERRED, "stretcher_id" bigint NULL REFERENCES "assets_stretcher" ("id") DEFERRABLE INITIALLY DEFERRED, "correction_reason" varchar(200) NOT NULL, "entered_at" datetime NOT NULL, "entered_by" varchar(80) NOT NULL, "corrects_id" bigint NULL UNIQUE REFERENCES "inspections_reading" ("id") DEFERRABLE INITIALLY DEFERRED, CONSTRAINT "reading_quantity_word" CHECK ("quantity" IN ('switch_opening', 'fwc', 'fwp', 'residual_opening', 'kicker_clearance', 'track_gauge', 'lock_go', 'lock_no_go', 'insulation_resistance', 'torque', 'lost_motion')), CONSTRAINT "reading_verdict_word" CHECK ("verdict" IN ('within', 'alert', 'intervention', 'immediate', 'no_limit', 'not_taken')), CONSTRAINT "reading_value_range" CHECK (("value" IS NULL OR ("value" >= 0.0 AND "value" <= 1000000000.0))), CONSTRAINT "reading_at_mm_range" CHECK (("at_mm" IS NULL OR ("at_mm" >= 0.0 AND "at_mm" <= 30000.0))), CONSTRAINT "reading_value_or_why_not" CHECK ((("not_taken_reason" = '' AND "value" IS NOT NULL) OR ("value" IS NULL AND NOT ("not_taken_reason" = '')))), CONSTRAINT "reading_side_word_or_blank" CHECK ("side" IN ('', 'left', 'right')), CONSTRAINT "reading_lie_word_or_blank" CHECK ("lie" IN ('', 'left_closed', 'right_closed')), CONSTRAINT "reading_correction_has_a_reason" CHECK (("corrects_id" IS NULL OR NOT ("correction_reason" = ''))), CONSTRAINT "reading_place_once" CHECK (("position_id" IS NULL OR "at_mm" IS NULL)));
INSERT INTO "inspections_reading" VALUES(1,'fwc',NULL,'','left_closed',46.0,'',0,'intervention',0,1,NULL,2,2,2,'','2026-11-25 10:33:00.153869','Lineman A',NULL);
INSERT INTO "inspections_reading" VALUES(2,'fwc',NULL,'','left_closed',55.0,'',0,'within',0,2,NULL,2,2,2,'','2026-11-25 10:33:00.191314','Lineman A',NULL);
CREATE TABLE "inspections_season" ("id" integer NOT NULL PRIMARY KEY AUTOINCREMENT, "name" varchar(60) NOT NULL UNIQUE, "first_use" date NOT NULL, "last_use" date NOT NULL, CONSTRAINT "season_ends_after_it_begins" CHECK ("last_use" >= ("first_use")));
CREATE UNIQUE INDEX "auth_group_permissions_group_id_permission_id_0cd325b0_uniq" ON "auth_group_permissions" ("group_id", "permission_id");
CREATE INDEX "auth_group_permissions_group_id_b120cbf9" ON "auth_group_permissions" ("group_id");
CREATE INDEX "auth_group_permissions_permission_id_84c5c92e" ON "auth_group_permissions" ("permission_id");
CREATE UNIQUE INDEX "auth_user_groups_user_id_group_id_94350c0c_uniq" ON "auth_user_groups" ("user_id", "group_id");
CREATE INDEX "auth_user_groups_user_id_6a12ed8b" ON "auth_user_groups" ("user_id");
CREATE INDEX "auth_user_groups_group_id_97559544" ON "auth_user_groups" ("group_id");
CREATE UNIQUE INDEX "auth_user_user_permissions_user_id_permission_id_14a6b632_uniq" ON "auth_user_user_permissions" ("user_id", "permission_id");
CREATE INDEX "auth_user_user_permissions_user_id_a95ead1b" ON "auth_user_user_permissions" ("user_id");
CREATE INDEX "auth_user_user_permissions_permission_id_1fbb5f2c" ON "auth_user_user_permissions" ("permission_id");
CREATE INDEX "django_admin_log_content_type_id_c4bce8eb" ON "django_admin_log" ("content_type_id");
CREATE INDEX "django_admin_log_user_id_c564eba6" ON "django_admin_log" ("user_id");
CREATE INDEX "assets_historicallocation_id_6fbc815e" ON "assets_historicallocation" ("id");
CREATE INDEX "assets_historicallocation_code_e137c100" ON "assets_historicallocation" ("code");
CREATE INDEX "assets_historicallocation_history_date_2ca7428a" ON "assets_historicallocation" ("history_date");
CREATE INDEX "assets_historicallocation_history_user_id_9b4e14dd" ON "assets_historicallocation" ("history_user_id");
CREATE INDEX "assets_historicallostmotionfitting_id_3f36c84f" ON "assets_historicallostmotionfitting" ("id");
CREATE INDEX "assets_historicallostmotionfitting_tag_dd72684f" ON "assets_historicallostmotionfitting" ("tag");
CREATE INDEX "assets_historicallostmotionfitting_history_date_963d76fb" ON "assets_historicallostmotionfitting" ("history_date");
CREATE INDEX "assets_historicallostmotionfitting_history_user_id_3150a6ac" ON "assets_historicallostmotionfitting" ("history_user_id");
CREATE INDEX "assets_historicalmachine_id_e2f748c6" ON "assets_historicalmachine" ("id");
CREATE INDEX "assets_historicalmachine_tag_c8165bf9" ON "assets_historicalmachine" ("tag");
CREATE INDEX "assets_historicalmachine_history_date_27bb77c1" ON "assets_historicalmachine" ("history_date");
CREATE INDEX "assets_historicalmachine_history_user_id_328385fb" ON "assets_historicalmachine" ("history_user_id");
CREATE INDEX "assets_historicalrailsection_id_7dd78d82" ON "assets_historicalrailsection" ("id");
CREATE INDEX "assets_historicalrailsection_code_781d07ff" ON "assets_historicalrailsection" ("code");
CREATE INDEX "assets_historicalrailsection_history_date_aa6c9df0" ON "assets_historicalrailsection" ("history_date");
CREATE INDEX "assets_historicalrailsection_history_user_id_cb478044" ON "assets_historicalrailsection" ("history_user_id");
CREATE INDEX "assets_historicalswitchdesign_id_5cc9697a" ON "assets_historicalswitchdesign" ("id");
CREATE INDEX "assets_historicalswitchdesign_code_900f0f2f" ON "assets_historicalswitchdesign" ("code");
CREATE INDEX "assets_historicalswitchdesign_history_date_b9f60410" ON "assets_historicalswitchdesign" ("history_date");
CREATE INDEX "assets_historicalswitchdesign_history_user_id_ee2b6e6e" ON "assets_historicalswitchdesign" ("history_user_id");
CREATE INDEX "assets_historicalswitchoffset_id_ee344748" ON "assets_historicalswitchoffset" ("id");
CREATE INDEX "assets_historicalswitchoffset_history_date_4244e788" ON "assets_historicalswitchoffset" ("history_date");
CREATE INDEX "assets_historicalswitchoffset_history_user_id_1f6aa879" ON "assets_historicalswitchoffset" ("history_user_id");
CREATE INDEX "assets_historicalswitchoffset_points_id_b52a0cab" ON "assets_historicalswitchoffset" ("points_id");
CREATE INDEX "assets_historicalposition_id_6a123ee2" ON "assets_historicalposition" ("id");
CREATE INDEX "assets_historicalposition_history_date_96ffb175" ON "assets_historicalposition" ("history_date");
CREATE INDEX "assets_historicalposition_history_user_id_54d69f93" ON "assets_historicalposition" ("history_user_id");
CREATE INDEX "assets_historicalposition_points_id_3592d4b3" ON "assets_historicalposition" ("points_id");
CREATE INDEX "assets_historicalfitting_id_6542fd7a" ON "assets_historicalfitting" ("id");
CREATE INDEX "assets_historicalfitting_history_date_d81f4d78" ON "assets_historicalfitting" ("history_date");
CREATE INDEX "assets_historicalfitting_history_user_id_0bbc019f" ON "assets_historicalfitting" ("history_user_id");
CREATE INDEX "assets_historicalfitting_lost_motion_fitting_id_963760fb" ON "assets_historicalfitting" ("lost_motion_fitting_id");
CREATE INDEX "assets_historicalfitting_machine_id_89ea67b8" ON "assets_historicalfitting" ("machine_id");
CREATE INDEX "assets_historicalfitting_position_id_9163d732" ON "assets_historicalfitting" ("position_id");
CREATE INDEX "assets_historicalfitting_stretcher_id_f3c0055a" ON "assets_historicalfitting" ("stretcher_id");
CREATE INDEX "assets_historicalpoints_id_40a1d131" ON "assets_historicalpoints" ("id");
CREATE INDEX "assets_historicalpoints_history_date_4e46c7e2" ON "assets_historicalpoints" ("history_date");
CREATE INDEX "assets_historicalpoints_history_user_id_e464adba" ON "assets_historicalpoints" ("history_user_id");
CREATE INDEX "assets_historicalpoints_location_id_9acd920f" ON "assets_historicalpoints" ("location_id");
CREATE INDEX "assets_historicalpoints_rail_section_id_d95676e3" ON "assets_historicalpoints" ("rail_section_id");
CREATE INDEX "assets_historicalpoints_design_id_396dba33" ON "assets_historicalpoints" ("design_id");
CREATE INDEX "assets_position_points_id_da621777" ON "assets_position" ("points_id");
CREATE UNIQUE INDEX "fitting_stretcher_in_one_place" ON "assets_fitting" ("stretcher_id") WHERE ("stretcher_id" IS NOT NULL AND "taken_out_on" IS NULL);
CREATE UNIQUE INDEX "fitting_machine_in_one_place" ON "assets_fitting" ("machine_id") WHERE ("machine_id" IS NOT NULL AND "taken_out_on" IS NULL);
CREATE UNIQUE INDEX "fitting_lost_motion_fitting_in_one_place" ON "assets_fitting" ("lost_motion_fitting_id") WHERE ("lost_motion_fitting_id" IS NOT NULL AND "taken_out_on" IS NULL);
CREATE UNIQUE INDEX "fitting_one_stretcher_per_position" ON "assets_fitting" ("position_id") WHERE ("stretcher_id" IS NOT NULL AND "taken_out_on" IS NULL);
CREATE UNIQUE INDEX "fitting_one_machine_per_position" ON "assets_fitting" ("position_id") WHERE ("machine_id" IS NOT NULL AND "taken_out_on" IS NULL);
CREATE UNIQUE INDEX "fitting_one_lost_motion_fitting_per_position" ON "assets_fitting" ("position_id") WHERE ("lost_motion_fitting_id" IS NOT NULL AND "taken_out_on" IS NULL);
CREATE INDEX "assets_fitting_lost_motion_fitting_id_3258a5b1" ON "assets_fitting" ("lost_motion_fitting_id");
CREATE INDEX "assets_fitting_machine_id_edeb68e4" ON "assets_fitting" ("machine_id");
CREATE INDEX "assets_fitting_position_id_abf3b984" ON "assets_fitting" ("position_id");
CREATE INDEX "assets_fitting_stretcher_id_f845e4a8" ON "assets_fitting" ("stretcher_id");
CREATE INDEX "assets_switchoffset_points_id_6fbc6847" ON "assets_switchoffset" ("points_id");
CREATE INDEX "assets_points_location_id_5f3dc95a" ON "assets_points" ("location_id");
CREATE INDEX "assets_points_rail_section_id_1464d4ca" ON "assets_points" ("rail_section_id");
CREATE INDEX "assets_points_design_id_9f3f05d4" ON "assets_points" ("design_id");
CREATE INDEX "assets_historicalwheelstandard_id_0e53e130" ON "assets_historicalwheelstandard" ("id");
CREATE INDEX "assets_historicalwheelstandard_name_9f2b3850" ON "assets_historicalwheelstandard" ("name");
CREATE INDEX "assets_historicalwheelstandard_history_date_1a0d5b41" ON "assets_historicalwheelstandard" ("history_date");
CREATE INDEX "assets_historicalstretcher_id_1e8aa1ef" ON "assets_historicalstretcher" ("id");
CREATE INDEX "assets_historicalstretcher_tag_31a57fee" ON "assets_historicalstretcher" ("tag");
CREATE INDEX "assets_historicalstretcher_history_date_e4373829" ON "assets_historicalstretcher" ("history_date");
CREATE INDEX "assets_historicalstretcher_history_user_id_25bc7dee" ON "assets_historicalstretcher" ("history_user_id");
CREATE INDEX "assets_historicalwheelstandard_history_user_id_6046cc86" ON "assets_historicalwheelstandard" ("history_user_id");
CREATE UNIQUE INDEX "wheel_standard_one_in_force" ON "assets_wheelstandard" ("in_force") WHERE "in_force";
CREATE INDEX "assets_photo_added_by_id_32af1830" ON "assets_photo" ("added_by_id");
CREATE INDEX "assets_partphoto_lost_motion_fitting_id_bb4f029b" ON "assets_partphoto" ("lost_motion_fitting_id");
CREATE INDEX "assets_partphoto_machine_id_f796d65b" ON "assets_partphoto" ("machine_id");
CREATE INDEX "assets_partphoto_stretcher_id_ed75d968" ON "assets_partphoto" ("stretcher_id");
CREATE UNIQUE INDEX "django_content_type_app_label_model_76bd3d3b_uniq" ON "django_content_type" ("app_label", "model");
CREATE UNIQUE INDEX "auth_permission_content_type_id_codename_01ab375a_uniq" ON "auth_permission" ("content_type_id", "codename");
CREATE INDEX "auth_permission_content_type_id_2f476e4b" ON "auth_permission" ("content_type_id");
CREATE INDEX "axes_accessattempt_user_agent_ad89678b" ON "axes_accessattempt" ("user_agent");
CREATE INDEX "axes_accessattempt_ip_address_10922d9c" ON "axes_accessattempt" ("ip_address");
CREATE INDEX "axes_accessattempt_username_3f2d4ca0" ON "axes_accessattempt" ("username");
CREATE UNIQUE INDEX "axes_accessattempt_username_ip_address_user_agent_8ea22282_uniq" ON "axes_accessattempt" ("username", "ip_address", "user_agent");
CREATE INDEX "axes_accessfailurelog_user_agent_ea145dda" ON "axes_accessfailurelog" ("user_agent");
CREATE INDEX "axes_accessfailurelog_ip_address_2e9f5a7f" ON "axes_accessfailurelog" ("ip_address");
CREATE INDEX "axes_accessfailurelog_username_a8b7e8a4" ON "axes_accessfailurelog" ("username");
CREATE INDEX "axes_accesslog_user_agent_0e659004" ON "axes_accesslog" ("user_agent");
CREATE INDEX "axes_accesslog_ip_address_86b417e5" ON "axes_accesslog" ("ip_address");
CREATE INDEX "axes_accesslog_username_df93064b" ON "axes_accesslog" ("username");
CREATE INDEX "inspections_historicalinstrument_id_027deabb" ON "inspections_historicalinstrument" ("id");
CREATE INDEX "inspections_historicalinstrument_tag_98e79d3e" ON "inspections_historicalinstrument" ("tag");
CREATE INDEX "inspections_historicalinstrument_history_date_f37ac29f" ON "inspections_historicalinstrument" ("history_date");
CREATE INDEX "inspections_historicalinstrument_history_user_id_b76c858b" ON "inspections_historicalinstrument" ("history_user_id");
CREATE INDEX "inspections_historicallimit_id_a6fa11b0" ON "inspections_historicallimit" ("id");
CREATE INDEX "inspections_historicallimit_history_date_a3e5324d" ON "inspections_historicallimit" ("history_date");
CREATE INDEX "inspections_historicallimit_design_id_f031a440" ON "inspections_historicallimit" ("design_id");
CREATE INDEX "inspections_historicallimit_history_user_id_7d17739e" ON "inspections_historicallimit" ("history_user_id");
CREATE INDEX "inspections_historicallimit_points_id_ac691eec" ON "inspections_historicallimit" ("points_id");
CREATE INDEX "inspections_historicallimit_rail_section_id_6cc25b25" ON "inspections_historicallimit" ("rail_section_id");
CREATE INDEX "inspections_historicalseason_id_9c06cc70" ON "inspections_historicalseason" ("id");
CREATE INDEX "inspections_historicalseason_name_6bb8d667" ON "inspections_historicalseason" ("name");
CREATE INDEX "inspections_historicalseason_history_date_70dd9d5c" ON "inspections_historicalseason" ("history_date");
CREATE INDEX "inspections_historicalseason_history_user_id_57c16928" ON "inspections_historicalseason" ("history_user_id");
CREATE UNIQUE INDEX "inspections_inspection_instruments_inspection_id_instrument_id_0be86ae1_uniq" ON "inspections_inspection_instruments" ("inspection_id", "instrument_id");
CREATE INDEX "inspections_inspection_instruments_inspection_id_62faa663" ON "inspections_inspection_instruments" ("inspection_id");
CREATE INDEX "inspections_inspection_instruments_instrument_id_00bbc615" ON "inspections_inspection_instruments" ("instrument_id");
CREATE INDEX "inspections_inspection_points_id_b31c682e" ON "inspections_inspection" ("points_id");
CREATE INDEX "inspections_inspection_recorded_by_id_ab9f4a19" ON "inspections_inspection" ("recorded_by_id");
CREATE INDEX "inspection_by_points" ON "inspections_inspection" ("points_id", "at" DESC);
CREATE INDEX "inspections_limit_design_id_c2882e42" ON "inspections_limit" ("design_id");
CREATE INDEX "inspections_limit_points_id_3b7ef1c9" ON "inspections_limit" ("points_id");
CREATE INDEX "inspections_limit_rail_section_id_80e3e80d" ON "inspections_limit" ("rail_section_id");
CREATE INDEX "inspections_examination_position_id_a5c5cc5c" ON "inspections_examination" ("position_id");
CREATE INDEX "inspections_examination_stretcher_id_21328b7f" ON "inspections_examination" ("stretcher_id");
CREATE INDEX "inspections_examination_inspection_id_1eea6d93" ON "inspections_examination" ("inspection_id");
CREATE INDEX "examination_defective" ON "inspections_examination" ("item", "position_id") WHERE "found" = 'defective';
CREATE INDEX "inspections_reading_inspection_id_65cf91c2" ON "inspections_reading" ("inspection_id");
CREATE INDEX "inspections_reading_instrument_id_f968039d" ON "inspections_reading" ("instrument_id");
CREATE INDEX "inspections_reading_limit_id_375bd5ea" ON "inspections_reading" ("limit_id");
CREATE INDEX "inspections_reading_position_id_5f054b9d" ON "inspections_reading" ("position_id");
CREATE INDEX "inspections_reading_stretcher_id_4eb3fe63" ON "inspections_reading" ("stretcher_id");
CREATE INDEX "inspections_examinationphoto_examination_id_8bb8c9bc" ON "inspections_examinationphoto" ("examination_id");
CREATE INDEX "inspections_difference_inspection_id_d001ffe6" ON "inspections_difference" ("inspection_id");
CREATE INDEX "inspections_difference_position_id_c80e1973" ON "inspections_difference" ("position_id");
CREATE INDEX "inspections_difference_rod_now_id_83ff3a3d" ON "inspections_difference" ("rod_now_id");
CREATE INDEX "inspections_difference_rod_then_id_6c39c6e7" ON "inspections_difference" ("rod_then_id");
CREATE INDEX "outlook_inspected" ON "inspections_outlook" ("inspected_at");
CREATE INDEX "inspections_reaching_points_id_86f0fcdb" ON "inspections_reaching" ("points_id");
CREATE INDEX "inspections_reaching_position_id_5d34bc1b" ON "inspections_reaching" ("position_id");
CREATE INDEX "reaching_soonest" ON "inspections_reaching" ("soonest", "points_id");
CREATE INDEX "inspection_newest" ON "inspections_inspection" ("at" DESC, "id" DESC);
CREATE INDEX "reading_out_of_limits" ON "inspections_reading" ("verdict") WHERE ("verdict" = 'intervention' OR "verdict" = 'immediate');
CREATE INDEX "defects_historicalroute_id_b55c6267" ON "defects_historicalroute" ("id");
CREATE INDEX "defects_historicalroute_found_dc559362" ON "defects_historicalroute" ("found");
CREATE INDEX "defects_historicalroute_history_date_da3d4c8d" ON "defects_historicalroute" ("history_date");
CREATE INDEX "defects_historicalroute_history_user_id_8a51b2aa" ON "defects_historicalroute" ("history_user_id");
CREATE INDEX "defects_dismissal_user_id_e14cfa14" ON "defects_dismissal" ("user_id");
CREATE INDEX "defects_event_defect_id_1e66578b" ON "defects_event" ("defect_id");
CREATE INDEX "defects_event_examination_id_e2b53479" ON "defects_event" ("examination_id");
CREATE INDEX "defects_event_reading_id_619e2b72" ON "defects_event" ("reading_id");
CREATE INDEX "defects_event_user_id_b4808846" ON "defects_event" ("user_id");
CREATE INDEX "defects_defect_examination_id_f3907ab7" ON "defects_defect" ("examination_id");
CREATE INDEX "defects_defect_lost_motion_fitting_id_84547eec" ON "defects_defect" ("lost_motion_fitting_id");
CREATE INDEX "defects_defect_machine_id_96e4b10c" ON "defects_defect" ("machine_id");
CREATE INDEX "defects_defect_points_id_5d476c5a" ON "defects_defect" ("points_id");
CREATE INDEX "defects_defect_position_id_e394aed7" ON "defects_defect" ("position_id");
CREATE INDEX "defects_defect_reading_id_dea65457" ON "defects_defect" ("reading_id");
CREATE INDEX "defects_defect_stretcher_id_60a7491c" ON "defects_defect" ("stretcher_id");
CREATE INDEX "defects_defect_route_id_4cf77408" ON "defects_defect" ("route_id");
CREATE INDEX "defects_defect_caused_by_id_23038a6c" ON "defects_defect" ("caused_by_id");
CREATE INDEX "defects_defect_repeat_of_id_70a1f9e2" ON "defects_defect" ("repeat_of_id");
CREATE INDEX "defect_by_points" ON "defects_defect" ("points_id", "state");
CREATE INDEX "defect_by_place" ON "defects_defect" ("points_id", "found");
CREATE INDEX "defects_defectphoto_defect_id_ed443f7c" ON "defects_defectphoto" ("defect_id");
CREATE INDEX "defects_historicaldefect_id_22068e5d" ON "defects_historicaldefect" ("id");
CREATE INDEX "defects_historicaldefect_number_7f5dbb86" ON "defects_historicaldefect" ("number");
CREATE INDEX "defects_historicaldefect_history_date_5529d31b" ON "defects_historicaldefect" ("history_date");
CREATE INDEX "defects_historicaldefect_caused_by_id_d93d3684" ON "defects_historicaldefect" ("caused_by_id");
CREATE INDEX "defects_historicaldefect_examination_id_702580c2" ON "defects_historicaldefect" ("examination_id");
CREATE INDEX "defects_historicaldefect_history_user_id_4114220b" ON "defects_historicaldefect" ("history_user_id");
CREATE INDEX "defects_historicaldefect_lost_motion_fitting_id_526ed2bd" ON "defects_historicaldefect" ("lost_motion_fitting_id");
CREATE INDEX "defects_historicaldefect_machine_id_917cda74" ON "defects_historicaldefect" ("machine_id");
CREATE INDEX "defects_historicaldefect_points_id_31e2f1cc" ON "defects_historicaldefect" ("points_id");
CREATE INDEX "defects_historicaldefect_position_id_480d1fff" ON "defects_historicaldefect" ("position_id");
CREATE INDEX "defects_historicaldefect_reading_id_0d3b11e4" ON "defects_historicaldefect" ("reading_id");
CREATE INDEX "defects_historicaldefect_repeat_of_id_f74e6d28" ON "defects_historicaldefect" ("repeat_of_id");
CREATE INDEX "defects_historicaldefect_route_id_379c8c81" ON "defects_historicaldefect" ("route_id");
CREATE INDEX "defects_historicaldefect_stretcher_id_9cf9ca6d" ON "defects_historicaldefect" ("stretcher_id");
CREATE INDEX "defect_open_queue" ON "defects_defect" ("owner", "urgency", "due_on", "number", "state") WHERE ("state" = 'raised' OR "state" = 'accepted' OR "state" = 'work_done');
CREATE INDEX "defect_measure_stands" ON "defects_defect" ("temporary_measure") WHERE ("temporary_measure" = 'secured' OR "temporary_measure" = 'speed' OR "temporary_measure" = 'hand_signalled' OR "temporary_measure" = 'clipped' OR "temporary_measure" = 'other');
CREATE INDEX "django_session_expire_date_a5c62663" ON "django_session" ("expire_date");
CREATE TRIGGER tth_rule_photo_stays_update AFTER UPDATE ON assets_photo WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'A photograph is never changed or removed: take it down, with the reason.'); END;
CREATE TRIGGER tth_rule_photo_stays_delete AFTER DELETE ON assets_photo WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'A photograph is never changed or removed: take it down, with the reason.'); END;
CREATE TRIGGER tth_rule_partphoto_stays_update AFTER UPDATE ON assets_partphoto WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'A photograph is never changed or removed: take it down, with the reason.'); END;
CREATE TRIGGER tth_rule_partphoto_stays_delete AFTER DELETE ON assets_partphoto WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'A photograph is never changed or removed: take it down, with the reason.'); END;
CREATE TRIGGER tth_rule_withdrawal_stays_update AFTER UPDATE ON assets_withdrawal WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'A photograph is never changed or removed: take it down, with the reason.'); END;
CREATE TRIGGER tth_rule_withdrawal_stays_delete AFTER DELETE ON assets_withdrawal WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'A photograph is never changed or removed: take it down, with the reason.'); END;
CREATE TRIGGER tth_rule_position_order_insert AFTER INSERT ON assets_position WHEN 
            EXISTS (
                SELECT 1 FROM assets_position other
                WHERE other.points_id = NEW.points_id AND other.id <> NEW.id
                AND ((other."order" < NEW."order" AND other.distance_mm >= NEW.distance_mm)
                  OR (other."order" > NEW."order" AND other.distance_mm <= NEW.distance_mm))
            ) BEGIN SELECT RAISE(ABORT, 'Positions count from the toe: a higher number must be further from the toe.'); END;
CREATE TRIGGER tth_rule_position_order_update AFTER UPDATE ON assets_position WHEN 
            EXISTS (
                SELECT 1 FROM assets_position other
                WHERE other.points_id = NEW.points_id AND other.id <> NEW.id
                AND ((other."order" < NEW."order" AND other.distance_mm >= NEW.distance_mm)
                  OR (other."order" > NEW."order" AND other.distance_mm <= NEW.distance_mm))
            ) BEGIN SELECT RAISE(ABORT, 'Positions count from the toe: a higher number must be further from the toe.'); END;
CREATE TRIGGER tth_rule_position_inside_insert AFTER INSERT ON assets_position WHEN 
            NEW.distance_mm > (
                SELECT COALESCE(points.heel_mm, design.heel_mm)
                FROM assets_points points
                LEFT JOIN assets_switchdesign design ON design.id = points.design_id
                WHERE points.id = NEW.points_id
            ) BEGIN SELECT RAISE(ABORT, 'The position is beyond the heel.'); END;
CREATE TRIGGER tth_rule_position_inside_update AFTER UPDATE ON assets_position WHEN 
            NEW.distance_mm > (
                SELECT COALESCE(points.heel_mm, design.heel_mm)
                FROM assets_points points
                LEFT JOIN assets_switchdesign design ON design.id = points.design_id
                WHERE points.id = NEW.points_id
            ) BEGIN SELECT RAISE(ABORT, 'The position is beyond the heel.'); END;
CREATE TRIGGER tth_rule_fitting_stretcher_overlap_insert AFTER INSERT ON assets_fitting WHEN 
                EXISTS (
                    SELECT 1 FROM assets_fitting other
                    WHERE other.id <> NEW.id AND other.stretcher_id = NEW.stretcher_id
                    AND (NEW.taken_out_on IS NULL OR other.fitted_on < NEW.taken_out_on)
                    AND (other.taken_out_on IS NULL OR NEW.fitted_on < other.taken_out_on)
                ) BEGIN SELECT RAISE(ABORT, 'A part is in one place at a time: its fittings overlap.'); END;
CREATE TRIGGER tth_rule_fitting_stretcher_overlap_update AFTER UPDATE ON assets_fitting WHEN 
                EXISTS (
                    SELECT 1 FROM assets_fitting other
                    WHERE other.id <> NEW.id AND other.stretcher_id = NEW.stretcher_id
                    AND (NEW.taken_out_on IS NULL OR other.fitted_on < NEW.taken_out_on)
                    AND (other.taken_out_on IS NULL OR NEW.fitted_on < other.taken_out_on)
                ) BEGIN SELECT RAISE(ABORT, 'A part is in one place at a time: its fittings overlap.'); END;
CREATE TRIGGER tth_rule_fitting_stretcher_position_overlap_insert AFTER INSERT ON assets_fitting WHEN 
                EXISTS (
                    SELECT 1 FROM assets_fitting other
                    WHERE other.id <> NEW.id AND other.position_id = NEW.position_id AND other.stretcher_id IS NOT NULL AND NEW.stretcher_id IS NOT NULL
                    AND (NEW.taken_out_on IS NULL OR other.fitted_on < NEW.taken_out_on)
                    AND (other.taken_out_on IS NULL OR NEW.fitted_on < other.taken_out_on)
                ) BEGIN SELECT RAISE(ABORT, 'A position holds one part of a kind at a time: the fittings overlap.'); END;
CREATE TRIGGER tth_rule_fitting_stretcher_position_overlap_update AFTER UPDATE ON assets_fitting WHEN 
                EXISTS (
                    SELECT 1 FROM assets_fitting other
                    WHERE other.id <> NEW.id AND other.position_id = NEW.position_id AND other.stretcher_id IS NOT NULL AND NEW.stretcher_id IS NOT NULL
                    AND (NEW.taken_out_on IS NULL OR other.fitted_on < NEW.taken_out_on)
                    AND (other.taken_out_on IS NULL OR NEW.fitted_on < other.taken_out_on)
                ) BEGIN SELECT RAISE(ABORT, 'A position holds one part of a kind at a time: the fittings overlap.'); END;
CREATE TRIGGER tth_rule_fitting_machine_overlap_insert AFTER INSERT ON assets_fitting WHEN 
                EXISTS (
                    SELECT 1 FROM assets_fitting other
                    WHERE other.id <> NEW.id AND other.machine_id = NEW.machine_id
                    AND (NEW.taken_out_on IS NULL OR other.fitted_on < NEW.taken_out_on)
                    AND (other.taken_out_on IS NULL OR NEW.fitted_on < other.taken_out_on)
                ) BEGIN SELECT RAISE(ABORT, 'A part is in one place at a time: its fittings overlap.'); END;
CREATE TRIGGER tth_rule_fitting_machine_overlap_update AFTER UPDATE ON assets_fitting WHEN 
                EXISTS (
                    SELECT 1 FROM assets_fitting other
                    WHERE other.id <> NEW.id AND other.machine_id = NEW.machine_id
                    AND (NEW.taken_out_on IS NULL OR other.fitted_on < NEW.taken_out_on)
                    AND (other.taken_out_on IS NULL OR NEW.fitted_on < other.taken_out_on)
                ) BEGIN SELECT RAISE(ABORT, 'A part is in one place at a time: its fittings overlap.'); END;
CREATE TRIGGER tth_rule_fitting_machine_position_overlap_insert AFTER INSERT ON assets_fitting WHEN 
                EXISTS (
                    SELECT 1 FROM assets_fitting other
                    WHERE other.id <> NEW.id AND other.position_id = NEW.position_id AND other.machine_id IS NOT NULL AND NEW.machine_id IS NOT NULL
                    AND (NEW.taken_out_on IS NULL OR other.fitted_on < NEW.taken_out_on)
                    AND (other.taken_out_on IS NULL OR NEW.fitted_on < other.taken_out_on)
                ) BEGIN SELECT RAISE(ABORT, 'A position holds one part of a kind at a time: the fittings overlap.'); END;
CREATE TRIGGER tth_rule_fitting_machine_position_overlap_update AFTER UPDATE ON assets_fitting WHEN 
                EXISTS (
                    SELECT 1 FROM assets_fitting other
                    WHERE other.id <> NEW.id AND other.position_id = NEW.position_id AND other.machine_id IS NOT NULL AND NEW.machine_id IS NOT NULL
                    AND (NEW.taken_out_on IS NULL OR other.fitted_on < NEW.taken_out_on)
                    AND (other.taken_out_on IS NULL OR NEW.fitted_on < other.taken_out_on)
                ) BEGIN SELECT RAISE(ABORT, 'A position holds one part of a kind at a time: the fittings overlap.'); END;
CREATE TRIGGER tth_rule_fitting_lost_motion_fitting_overlap_insert AFTER INSERT ON assets_fitting WHEN 
                EXISTS (
                    SELECT 1 FROM assets_fitting other
                    WHERE other.id <> NEW.id AND other.lost_motion_fitting_id = NEW.lost_motion_fitting_id
                    AND (NEW.taken_out_on IS NULL OR other.fitted_on < NEW.taken_out_on)
                    AND (other.taken_out_on IS NULL OR NEW.fitted_on < other.taken_out_on)
                ) BEGIN SELECT RAISE(ABORT, 'A part is in one place at a time: its fittings overlap.'); END;
CREATE TRIGGER tth_rule_fitting_lost_motion_fitting_overlap_update AFTER UPDATE ON assets_fitting WHEN 
                EXISTS (
                    SELECT 1 FROM assets_fitting other
                    WHERE other.id <> NEW.id AND other.lost_motion_fitting_id = NEW.lost_motion_fitting_id
                    AND (NEW.taken_out_on IS NULL OR other.fitted_on < NEW.taken_out_on)
                    AND (other.taken_out_on IS NULL OR NEW.fitted_on < other.taken_out_on)
                ) BEGIN SELECT RAISE(ABORT, 'A part is in one place at a time: its fittings overlap.'); END;
CREATE TRIGGER tth_rule_fitting_lost_motion_fitting_position_overlap_insert AFTER INSERT ON assets_fitting WHEN 
                EXISTS (
                    SELECT 1 FROM assets_fitting other
                    WHERE other.id <> NEW.id AND other.position_id = NEW.position_id AND other.lost_motion_fitting_id IS NOT NULL AND NEW.lost_motion_fitting_id IS NOT NULL
                    AND (NEW.taken_out_on IS NULL OR other.fitted_on < NEW.taken_out_on)
                    AND (other.taken_out_on IS NULL OR NEW.fitted_on < other.taken_out_on)
                ) BEGIN SELECT RAISE(ABORT, 'A position holds one part of a kind at a time: the fittings overlap.'); END;
CREATE TRIGGER tth_rule_fitting_lost_motion_fitting_position_overlap_update AFTER UPDATE ON assets_fitting WHEN 
                EXISTS (
                    SELECT 1 FROM assets_fitting other
                    WHERE other.id <> NEW.id AND other.position_id = NEW.position_id AND other.lost_motion_fitting_id IS NOT NULL AND NEW.lost_motion_fitting_id IS NOT NULL
                    AND (NEW.taken_out_on IS NULL OR other.fitted_on < NEW.taken_out_on)
                    AND (other.taken_out_on IS NULL OR NEW.fitted_on < other.taken_out_on)
                ) BEGIN SELECT RAISE(ABORT, 'A position holds one part of a kind at a time: the fittings overlap.'); END;
CREATE TRIGGER tth_rule_event_stays_update AFTER UPDATE ON defects_event WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'An event is never changed or removed: add one that corrects it.'); END;
CREATE TRIGGER tth_rule_event_stays_delete AFTER DELETE ON defects_event WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'An event is never changed or removed: add one that corrects it.'); END;
CREATE TRIGGER tth_rule_closing_is_proven_insert AFTER INSERT ON defects_event WHEN 
            NEW.move = 'close' AND NOT NEW.agreed_by_engineer
            AND NOT 
    EXISTS (
        SELECT 1 FROM inspections_reading proof
        JOIN inspections_inspection visit ON visit.id = proof.inspection_id
        JOIN defects_defect defect ON defect.id = NEW.defect_id
        LEFT JOIN inspections_reading first_read ON first_read.id = defect.reading_id
        WHERE proof.id = NEW.reading_id
        AND proof.verdict IN ('within', 'alert')
        AND visit.points_id = defect.points_id
        AND visit.at >= defect.work_done_at
        AND NOT EXISTS (SELECT 1 FROM inspections_reading later WHERE later.corrects_id = proof.id)
        AND (first_read.id IS NULL OR (
            proof.quantity = first_read.quantity
            AND proof.side = first_read.side
            AND proof.lie = first_read.lie
            AND proof.position_id IS first_read.position_id
            AND (proof.at_mm IS first_read.at_mm
                 OR ABS(proof.at_mm - first_read.at_mm) <= 300)))
    ) AND NOT 
    EXISTS (
        SELECT 1 FROM inspections_examination proof
        JOIN inspections_inspection visit ON visit.id = proof.inspection_id
        JOIN defects_defect defect ON defect.id = NEW.defect_id
        LEFT JOIN inspections_examination first_look ON first_look.id = defect.examination_id
        WHERE proof.id = NEW.examination_id
        AND proof.found = 'good'
        AND visit.points_id = defect.points_id
        AND visit.at >= defect.work_done_at
        AND NOT EXISTS (
            SELECT 1 FROM inspections_examination later WHERE later.corrects_id = proof.id)
        AND (first_look.id IS NULL OR (
            proof.item = first_look.item
            AND proof.position_id IS first_look.position_id))
    ) BEGIN SELECT RAISE(ABORT, 'What closes a defect must be taken at the same place after the work, and be within limits or good.'); END;
CREATE TRIGGER tth_rule_dismissal_stays_update AFTER UPDATE ON defects_dismissal WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'Why a finding was not raised is never changed or removed.'); END;
CREATE TRIGGER tth_rule_dismissal_stays_delete AFTER DELETE ON defects_dismissal WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'Why a finding was not raised is never changed or removed.'); END;
CREATE TRIGGER tth_rule_defect_stays_delete AFTER DELETE ON defects_defect WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'A defect is never removed: mark it as raised in error.'); END;
CREATE TRIGGER tth_rule_defect_keeps_its_finding_update AFTER UPDATE ON defects_defect WHEN 
            NEW.number <> OLD.number OR NEW.points_id <> OLD.points_id
            OR NEW.position_id IS NOT OLD.position_id
            OR NEW.reading_id IS NOT OLD.reading_id
            OR NEW.examination_id IS NOT OLD.examination_id
            OR (OLD.found <> '' AND NEW.found <> OLD.found) BEGIN SELECT RAISE(ABORT, 'What was found, and where, stays as it was raised: raise another defect.'); END;
CREATE TRIGGER tth_rule_defect_moves_by_events_update AFTER UPDATE ON defects_defect WHEN 
            (NEW.state <> OLD.state OR NEW.owner <> OLD.owner)
            AND NOT EXISTS (
                SELECT 1 FROM defects_event event
                WHERE event.defect_id = NEW.id
                AND event.state = NEW.state AND event.owner = NEW.owner
                AND event.id = (
                    SELECT MAX(last.id) FROM defects_event last WHERE last.defect_id = NEW.id)
            ) BEGIN SELECT RAISE(ABORT, 'A defect stands as its last event says: nothing moves it without one.'); END;
CREATE TRIGGER tth_rule_defect_photo_stays_update AFTER UPDATE ON defects_defectphoto WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'A photograph is never changed or removed: take it down, with the reason.'); END;
CREATE TRIGGER tth_rule_defect_photo_stays_delete AFTER DELETE ON defects_defectphoto WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'A photograph is never changed or removed: take it down, with the reason.'); END;
CREATE TRIGGER tth_rule_defect_work_done_once_update AFTER UPDATE ON defects_defect WHEN NEW.work_done_at IS NOT OLD.work_done_at AND NEW.state = OLD.state BEGIN SELECT RAISE(ABORT, 'When the work was done is said once, by the move that says so.'); END;
CREATE TRIGGER tth_rule_defect_done_with_update AFTER UPDATE ON defects_defect WHEN OLD.state IN ('closed', 'in_error') AND NEW.state <> OLD.state BEGIN SELECT RAISE(ABORT, 'A defect that is done with is not opened again: raise it anew.'); END;
CREATE TRIGGER tth_rule_close_needs_evidence_insert AFTER INSERT ON defects_defect WHEN 
            NEW.state = 'closed' AND NOT EXISTS (
                SELECT 1 FROM defects_event event
                WHERE event.defect_id = NEW.id AND event.move = 'close'
                AND event.at = NEW.closed_at
            ) BEGIN SELECT RAISE(ABORT, 'A defect closes only by an event that carries its evidence.'); END;
CREATE TRIGGER tth_rule_close_needs_evidence_update AFTER UPDATE ON defects_defect WHEN 
            NEW.state = 'closed' AND NOT EXISTS (
                SELECT 1 FROM defects_event event
                WHERE event.defect_id = NEW.id AND event.move = 'close'
                AND event.at = NEW.closed_at
            ) BEGIN SELECT RAISE(ABORT, 'A defect closes only by an event that carries its evidence.'); END;
CREATE TRIGGER tth_rule_inspection_stays_update AFTER UPDATE ON inspections_inspection WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'What was measured or seen is never changed or removed: enter a correction that refers to it.'); END;
CREATE TRIGGER tth_rule_inspection_stays_delete AFTER DELETE ON inspections_inspection WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'What was measured or seen is never changed or removed: enter a correction that refers to it.'); END;
CREATE TRIGGER tth_rule_reading_stays_update AFTER UPDATE ON inspections_reading WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'What was measured or seen is never changed or removed: enter a correction that refers to it.'); END;
CREATE TRIGGER tth_rule_reading_stays_delete AFTER DELETE ON inspections_reading WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'What was measured or seen is never changed or removed: enter a correction that refers to it.'); END;
CREATE TRIGGER tth_rule_examination_stays_update AFTER UPDATE ON inspections_examination WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'What was measured or seen is never changed or removed: enter a correction that refers to it.'); END;
CREATE TRIGGER tth_rule_examination_stays_delete AFTER DELETE ON inspections_examination WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'What was measured or seen is never changed or removed: enter a correction that refers to it.'); END;
CREATE TRIGGER tth_rule_difference_answer_stays_update AFTER UPDATE ON inspections_difference WHEN OLD.answer <> '' BEGIN SELECT RAISE(ABORT, 'Which rod was measured has been answered: enter corrections to the readings.'); END;
CREATE TRIGGER tth_rule_difference_answer_stays_delete AFTER DELETE ON inspections_difference WHEN OLD.answer <> '' BEGIN SELECT RAISE(ABORT, 'Which rod was measured has been answered: enter corrections to the readings.'); END;
CREATE TRIGGER tth_rule_examination_photo_stays_update AFTER UPDATE ON inspections_examinationphoto WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'A photograph is never changed or removed: take it down, with the reason.'); END;
CREATE TRIGGER tth_rule_examination_photo_stays_delete AFTER DELETE ON inspections_examinationphoto WHEN 1 = 1 BEGIN SELECT RAISE(ABORT, 'A photograph is never changed or removed: take it down, with the reason.'); END;
CREATE TRIGGER tth_rule_limit_that_judged_stays_update AFTER UPDATE ON inspections_limit WHEN 
            EXISTS (SELECT 1 FROM inspections_reading judged WHERE judged.limit_id = NEW.id)
            AND (NEW.quantity IS NOT OLD.quantity OR NEW.level IS NOT OLD.level OR NEW.scope IS NOT OLD.scope OR NEW.scope_key IS NOT OLD.scope_key OR NEW.minimum IS NOT OLD.minimum OR NEW.maximum IS NOT OLD.maximum OR NEW.effective_from IS NOT OLD.effective_from) BEGIN SELECT RAISE(ABORT, 'This limit has judged readings: enter a new one from a later day instead of changing it.'); END;
CREATE TRIGGER tth_rule_visit_counts_insert AFTER INSERT ON inspections_inspection WHEN 1 = 1 BEGIN 
            INSERT INTO inspections_outlook (points_id, changes, followed, inspected_at)
            VALUES (
                NEW.points_id, 1, -1,
                CASE WHEN NEW.reason IN ('routine', 'before_use', 'joint_visit') THEN NEW.at END
            )
            ON CONFLICT (points_id) DO UPDATE SET
                changes = inspections_outlook.changes + 1,
                inspected_at = CASE
                    WHEN excluded.inspected_at IS NULL THEN inspections_outlook.inspected_at
                    WHEN inspections_outlook.inspected_at > excluded.inspected_at
                        THEN inspections_outlook.inspected_at
                    ELSE excluded.inspected_at
                END; END;
CREATE TRIGGER tth_rule_reading_counts_insert AFTER INSERT ON inspections_reading WHEN 1 = 1 BEGIN 
            UPDATE inspections_outlook SET changes = changes + 1 WHERE points_id = (
                SELECT visit.points_id FROM inspections_inspection visit
                WHERE visit.id = NEW.inspection_id
            ); END;
CREATE TRIGGER tth_rule_limit_counts_insert AFTER INSERT ON inspections_limit WHEN 1 = 1 BEGIN UPDATE inspections_outlook SET changes = changes + 1; END;
CREATE TRIGGER tth_rule_limit_counts_update AFTER UPDATE ON inspections_limit WHEN 1 = 1 BEGIN UPDATE inspections_outlook SET changes = changes + 1; END;
CREATE TRIGGER tth_rule_limit_counts_delete AFTER DELETE ON inspections_limit WHEN 1 = 1 BEGIN UPDATE inspections_outlook SET changes = changes + 1; END;
CREATE TRIGGER tth_rule_points_limits_count_update AFTER UPDATE ON assets_points WHEN NEW.rail_section_id IS NOT OLD.rail_section_id OR NEW.design_id IS NOT OLD.design_id OR NEW.layout IS NOT OLD.layout BEGIN 
            UPDATE inspections_outlook SET changes = changes + 1 WHERE points_id = NEW.id; END;
DELETE FROM "sqlite_sequence";
INSERT INTO "sqlite_sequence" VALUES('django_migrations',43);
INSERT INTO "sqlite_sequence" VALUES('django_admin_log',0);
INSERT INTO "sqlite_sequence" VALUES('assets_position',4);
INSERT INTO "sqlite_sequence" VALUES('assets_fitting',4);
INSERT INTO "sqlite_sequence" VALUES('assets_switchoffset',0);
INSERT INTO "sqlite_sequence" VALUES('assets_location',1);
INSERT INTO "sqlite_sequence" VALUES('assets_lostmotionfitting',0);
INSERT INTO "sqlite_sequence" VALUES('assets_machine',0);
INSERT INTO "sqlite_sequence" VALUES('assets_points',1);
INSERT INTO "sqlite_sequence" VALUES('assets_historicalstretcher',4);
INSERT INTO "sqlite_sequence" VALUES('assets_stretcher',4);
INSERT INTO "sqlite_sequence" VALUES('assets_wheelstandard',3);
INSERT INTO "sqlite_sequence" VALUES('assets_photo',0);
INSERT INTO "sqlite_sequence" VALUES('assets_partphoto',0);
INSERT INTO "sqlite_sequence" VALUES('assets_withdrawal',0);
INSERT INTO "sqlite_sequence" VALUES('django_content_type',56);
INSERT INTO "sqlite_sequence" VALUES('auth_permission',224);
INSERT INTO "sqlite_sequence" VALUES('auth_group',4);
INSERT INTO "sqlite_sequence" VALUES('auth_user',2);
INSERT INTO "sqlite_sequence" VALUES('axes_accessattempt',0);
INSERT INTO "sqlite_sequence" VALUES('axes_accesslog',1);
INSERT INTO "sqlite_sequence" VALUES('inspections_inspection',3);
INSERT INTO "sqlite_sequence" VALUES('inspections_limit',13);
INSERT INTO "sqlite_sequence" VALUES('inspections_examination',1);
INSERT INTO "sqlite_sequence" VALUES('inspections_reading',2);
INSERT INTO "sqlite_sequence" VALUES('defects_defect',2);
INSERT INTO "sqlite_sequence" VALUES('defects_route',43);
INSERT INTO "sqlite_sequence" VALUES('defects_historicalroute',43);
INSERT INTO "sqlite_sequence" VALUES('assets_railsection',9);
INSERT INTO "sqlite_sequence" VALUES('assets_historicalrailsection',9);
INSERT INTO "sqlite_sequence" VALUES('assets_switchdesign',10);
INSERT INTO "sqlite_sequence" VALUES('assets_historicalswitchdesign',10);
INSERT INTO "sqlite_sequence" VALUES('assets_historicalwheelstandard',3);
INSERT INTO "sqlite_sequence" VALUES('inspections_historicallimit',13);
INSERT INTO "sqlite_sequence" VALUES('auth_user_groups',2);
INSERT INTO "sqlite_sequence" VALUES('assets_historicallocation',1);
INSERT INTO "sqlite_sequence" VALUES('assets_historicalpoints',1);
INSERT INTO "sqlite_sequence" VALUES('assets_historicalposition',4);
INSERT INTO "sqlite_sequence" VALUES('assets_historicalfitting',5);
INSERT INTO "sqlite_sequence" VALUES('defects_historicaldefect',7);
INSERT INTO "sqlite_sequence" VALUES('defects_event',5);
COMMIT;
